import { useEffect, useState } from 'preact/hooks';
import { Choice, ClockInput, Field } from '../parts/field.tsx';
import { ask } from '../sharing/ask.ts';
import { sharingWords } from '../words/sharing.ts';
import { Outcome } from './outcome.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.quiet;
const PATH = '/api/push/quiet-hours';

interface Hours {
  /** IANA name. */
  readonly zone: string;
  /** "21:00" */
  readonly from: string;
  readonly until: string;
}

const usualHere = (): Hours => ({
  zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  from: '21:00',
  until: '07:00',
});

/** Every zone this browser knows, and the one that is kept, which it may not. */
const zones = (kept: string): readonly (readonly [string, string])[] =>
  [...new Set([...Intl.supportedValuesOf('timeZone'), kept, 'UTC'])]
    .sort()
    .map((zone) => [zone, zone.replaceAll('_', ' ')]);

/** When someone is told nothing but what cannot wait, on all of their devices. */
export function QuietHours() {
  const [kept, setKept] = useState<Hours | null>(null);
  const [hours, setHours] = useState(usualHere);
  const deed = useDeed();
  const look = async (): Promise<undefined> => {
    const now = await ask<Hours | null>('GET', PATH);
    setKept(now);
    setHours(now ?? usualHere());
  };
  useEffect(() => deed.run(look), []);
  const change = (work: () => Promise<unknown>, said: string) => deed.change(work, look, said);
  const put = (part: Partial<Hours>) => setHours({ ...hours, ...part });
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        change(() => ask('PUT', PATH, hours), hours.from === hours.until ? of.never : of.set);
      }}
    >
      <h3 class="within">{of.title}</h3>
      <p class="soft">{of.hint}</p>
      <p>{kept === null ? of.ofTanks : of.own(kept.from, kept.until, kept.zone.replaceAll('_', ' '))}</p>
      <div class="form said-now">
        <Field label={of.from}>
          <ClockInput value={hours.from} onValue={(from) => put({ from })} />
        </Field>
        <Field label={of.until}>
          <ClockInput value={hours.until} onValue={(until) => put({ until })} />
        </Field>
        <Field label={of.zone} wide>
          <Choice value={hours.zone} onValue={(zone) => put({ zone })} options={zones(hours.zone)} />
        </Field>
      </div>
      <p class="acts">
        <button class="act" type="submit" disabled={deed.busy}>
          {of.keep}
        </button>
        {kept !== null && (
          <button
            class="word"
            type="button"
            disabled={deed.busy}
            onClick={() => change(() => ask('DELETE', PATH), of.dropped)}
          >
            {of.drop}
          </button>
        )}
      </p>
      <Outcome deed={deed} />
    </form>
  );
}
