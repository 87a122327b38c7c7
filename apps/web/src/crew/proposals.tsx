import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import { ask } from '../sharing/ask.ts';
import { names, type Role } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { askAgain } from '../state/sharing.ts';
import { sharingWords } from '../words/sharing.ts';
import { type Member, remember } from './crew-place.tsx';
import { Outcome } from './outcome.tsx';
import { SaySomething } from './say-something.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.proposals;

interface Proposal {
  readonly id: string;
  readonly proposedBy: string;
  readonly proposedAt: string;
  readonly order: { readonly say: string };
  readonly decision: 'accepted' | 'declined' | null;
}

/** What mentors proposed and nobody has decided yet; a mentor can propose more. */
export function Proposals({ tank, role }: { tank: TankId; role: Role }) {
  const [open, setOpen] = useState<readonly Proposal[]>([]);
  const deed = useDeed();
  const path = `/api/tanks/${tank}`;
  const look = async () => {
    const all = await ask<readonly Proposal[]>('GET', `${path}/proposals`);
    setOpen(all.filter(({ decision }) => decision === null));
  };
  useEffect(
    () =>
      deed.run(async () => {
        await look();
        remember(await ask<readonly Member[]>('GET', `${path}/crew`));
        return undefined;
      }),
    [tank],
  );
  const decide = (id: string, what: 'acceptance' | 'refusal', said: string) =>
    deed.change(
      () => ask('POST', `${path}/proposals/${id}/${what}`),
      async () => {
        await look();
        askAgain.peek()();
      },
      said,
    );
  const quiet = open.length === 0 && deed.said === '';
  if (quiet && role !== 'mentor') return null;
  return (
    <section class="part" aria-labelledby="proposed">
      <h2 id="proposed">{of.title}</h2>
      <ul class="lines">
        {open.map(({ id, order: { say }, proposedBy, proposedAt }) => (
          <li key={id}>
            <p>{say}</p>
            <p class="soft">
              {of.by(names.value[proposedBy] ?? '', print.value.dates.weekday(Date.parse(proposedAt)))}
              {role !== 'keeper' && ` · ${of.waits}`}
            </p>
            {role === 'keeper' && (
              <p class="acts">
                <button
                  class="act"
                  type="button"
                  aria-label={of.acceptThis(say)}
                  onClick={() => decide(id, 'acceptance', of.accepted)}
                >
                  {of.accept}
                </button>
                <button
                  class="word"
                  type="button"
                  aria-label={of.declineThis(say)}
                  onClick={() => decide(id, 'refusal', of.declined)}
                >
                  {of.decline}
                </button>
              </p>
            )}
          </li>
        ))}
      </ul>
      <Outcome deed={deed} />
      {role === 'mentor' && <SaySomething tank={tank} onSaid={look} />}
    </section>
  );
}
