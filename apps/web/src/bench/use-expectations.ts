import type { Prediction } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import { keepExpecting, lastOf } from '../state/course.ts';
import { entriesOf } from '../state/journal.ts';
import { expectReadings } from '../state/questions.ts';
import type { BenchKit } from './reading.ts';

type Expected = Readonly<Record<string, Prediction | null>>;

/** A kit and the dilution it is about to be used at. */
interface Asked {
  readonly kit: BenchKit;
  readonly dilution: number;
}

/** Under what an expectation is found: one for another dilution must never stand beside this one. */
export const keyOfAsk = ({ kit, dilution }: { readonly kit: string; readonly dilution: number }) =>
  `${kit} ${dilution}`;

/** What each kit would show if it were used at `at`, as soon as the course is reckoned; empty until then. */
export function useExpectations(tank: TankId, kits: readonly Asked[], at: number): Expected {
  const [expected, setExpected] = useState<Expected>({});
  const reckonedAt = lastOf(tank).value?.reckonedAt;
  const written = entriesOf(tank).length;
  const tenMinutes = Math.floor(at / 600_000);
  const asks = kits.flatMap(({ kit: { kit, analyte }, dilution }) =>
    kit !== undefined && FORETOLD.has(analyte) && dilution >= 1 ? [{ at, analyte, kit, dilution }] : [],
  );
  const asked = asks.map(keyOfAsk).join();
  useEffect(() => keepExpecting(tank), [tank, written]);
  useEffect(() => {
    let wanted = true;
    void expectReadings(tank, asks).then((predictions) => {
      if (!wanted || predictions === undefined) return;
      setExpected(Object.fromEntries(asks.map((ask, i) => [keyOfAsk(ask), predictions[i] ?? null])));
    });
    return () => {
      wanted = false;
    };
  }, [tank, reckonedAt, tenMinutes, asked]);
  return expected;
}

const FORETOLD: ReadonlySet<string> = new Set(['ammonia', 'nitrite', 'nitrate']);
