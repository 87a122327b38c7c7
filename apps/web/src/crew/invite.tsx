import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import { Choice, Field } from '../parts/field.tsx';
import { ask } from '../sharing/ask.ts';
import type { Role } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { sharingWords } from '../words/sharing.ts';
import { Guarded } from './guarded.tsx';
import { Outcome } from './outcome.tsx';
import { ToHandOver } from './to-hand-over.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.crew;
const DAYS = [1, 7, 30] as const;

interface Open {
  readonly id: string;
  readonly role: Role;
  readonly expires: string;
}

interface Made {
  readonly link: string;
  readonly expires: string;
}

/** A link for one person, and those that nobody has taken up yet. */
export function Invite({ tank }: { tank: TankId }) {
  const [role, setRole] = useState<Role>('reader');
  const [days, setDays] = useState<`${(typeof DAYS)[number]}`>('7');
  const [made, setMade] = useState<Made | undefined>();
  const [open, setOpen] = useState<readonly Open[]>([]);
  const deed = useDeed();
  const path = `/api/tanks/${tank}/invitations`;
  const look = async (): Promise<undefined> => {
    setOpen(await ask<readonly Open[]>('GET', path));
  };
  useEffect(() => deed.run(look), [tank]);
  const full = (instant: string) => print.value.dates.full(Date.parse(instant));
  return (
    <section class="part" aria-labelledby="invite">
      <h2 id="invite">{of.invite}</h2>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          deed.run(async () => {
            setMade(await ask<Made>('POST', path, { role, days: Number(days) }));
            await look();
            return undefined;
          });
        }}
      >
        <div class="form">
          <Field label={of.as} hint={of.does[role]}>
            <Choice
              value={role}
              onValue={setRole}
              options={(['reader', 'mentor', 'keeper'] as const).map((r) => [r, of.roles[r]] as const)}
            />
          </Field>
          <Field label={of.days} hint={of.daysHint}>
            <Choice
              value={days}
              onValue={setDays}
              options={DAYS.map((n) => [`${n}` as const, of.daysOf(n)] as const)}
            />
          </Field>
        </div>
        <p class="acts">
          <button class="act" type="submit" disabled={deed.busy}>
            {of.make}
          </button>
        </p>
      </form>
      {made !== undefined && (
        <ToHandOver label={of.link} hint={of.linkHint(full(made.expires))} value={made.link} />
      )}
      <Outcome deed={deed} />
      {open.length > 0 && (
        <>
          <h3 class="within">{of.open}</h3>
          <ul class="crew">
            {open.map(({ id, role: offered, expires }) => (
              <li key={id}>
                <p>{of.openOne(of.roles[offered], full(expires))}</p>
                <Guarded
                  summary={of.withdraw}
                  label={of.withdrawThis(of.roles[offered], full(expires))}
                  hint={of.withdrawHint}
                  act={of.withdrawAct}
                  busy={deed.busy}
                  onAct={() =>
                    deed.run(async () => {
                      await ask('DELETE', `${path}/${id}`);
                      setMade(undefined);
                      await look();
                      return of.withdrawn;
                    })
                  }
                />
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
