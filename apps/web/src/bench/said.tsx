import type { EntryId, TankId } from '@brinewright/journal';
import { paths } from '../state/paths.ts';
import { words } from '../words/index.ts';
import type { Outcome } from './write-down.ts';

interface SaidProps {
  readonly outcome: Outcome | undefined;
  readonly tank: TankId;
  readonly name: string;
  readonly onUndo: (ids: readonly EntryId[]) => void;
}

/** What came of the last press of a button, beside that button. */
export function Said({ outcome, tank, name, onUndo }: SaidProps) {
  return (
    <div class="outcome" role="status">
      {outcome?.kind === 'refused' && <p class="problem">{outcome.why}</p>}
      {outcome?.kind === 'undone' && <p>{words.bench.undone}</p>}
      {outcome?.kind === 'written' && (
        <p>
          {outcome.said}{' '}
          <button class="word" type="button" onClick={() => onUndo(outcome.ids)}>
            {words.bench.undo}
          </button>{' '}
          <a href={paths.tank(tank)}>{words.bench.seeTank(name)}</a>
        </p>
      )}
    </div>
  );
}
