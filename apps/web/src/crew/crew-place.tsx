import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import { LostTank } from '../pages/lost.tsx';
import { Choice } from '../parts/field.tsx';
import { Title } from '../parts/title.tsx';
import { ask } from '../sharing/ask.ts';
import { factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { names, person, type Role } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { askAgain, roleIn, sharing } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { sharingWords } from '../words/sharing.ts';
import { Guarded } from './guarded.tsx';
import { Invite } from './invite.tsx';
import { Outcome } from './outcome.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.crew;

export interface Member {
  readonly account: string;
  readonly name: string;
  readonly role: Role;
  readonly since: string;
}

/** Who has a part in a tank, and who else is to have one. */
export function CrewPlace({ id }: { id: string }) {
  const tank = id as TankId;
  const facts = factsFor(tank);
  if (facts === undefined) return <LostTank id={id} />;
  const name = facts.name ?? words.rounds.unnamed;
  return (
    <div class="narrow">
      <div class="lede">
        <Title name={of.title(name)}>{of.title(name)}</Title>
        <p>{of.lede}</p>
      </div>
      <Parts tank={tank} />
      <p class="acts">
        <a href={paths.tank(tank)}>{of.back(name)}</a>
      </p>
    </div>
  );
}

function Parts({ tank }: { tank: TankId }) {
  const { server } = sharing.value;
  const role = roleIn(tank);
  // Said here: what shows the parts goes away with the part.
  const [left, setLeft] = useState(false);
  if (left)
    return (
      <p class="said-now" role="status">
        {of.left}
      </p>
    );
  if (server === 'alone') return <p class="said-now">{of.alone}</p>;
  if (role === undefined)
    return (
      <p class="said-now">
        {of.notThere} <a href={`${paths.workshop}#account`}>{of.toWorkshop}</a>
      </p>
    );
  return <Members tank={tank} role={role} onLeft={() => setLeft(true)} />;
}

function Members({ tank, role, onLeft }: { tank: TankId; role: Role; onLeft: () => void }) {
  const [members, setMembers] = useState<readonly Member[]>([]);
  const deed = useDeed();
  const path = `/api/tanks/${tank}/crew`;
  const look = async (): Promise<undefined> => {
    const all = await ask<readonly Member[]>('GET', path);
    setMembers(all);
    remember(all);
  };
  useEffect(() => deed.run(look), [tank]);
  const change = (work: () => Promise<unknown>, said: string) =>
    deed.change(
      work,
      async () => {
        await look();
        askAgain.peek()();
      },
      said,
    );
  const me = person.value.now?.account;
  return (
    <>
      <section class="part" aria-labelledby="members">
        <h2 id="members">{of.members}</h2>
        <ul class="crew">
          {members.map((member) => (
            <OneMember
              key={member.account}
              member={member}
              mine={member.account === me}
              decides={role === 'keeper'}
              busy={deed.busy}
              onRole={(next) =>
                change(
                  () => ask('PUT', `${path}/${member.account}`, { role: next }),
                  of.changed(member.name, of.roles[next]),
                )
              }
              onRemove={() =>
                change(() => ask('DELETE', `${path}/${member.account}`), of.removed(member.name))
              }
            />
          ))}
        </ul>
        <Guarded
          summary={of.leave}
          hint={of.leaveHint}
          act={of.leaveAct}
          busy={deed.busy}
          onAct={() =>
            deed.run(async () => {
              await ask('DELETE', `${path}/self`);
              onLeft();
              askAgain.peek()();
              return undefined;
            })
          }
        />
        <Outcome deed={deed} />
      </section>
      {role === 'keeper' && <Invite tank={tank} />}
    </>
  );
}

interface OneMemberProps {
  readonly member: Member;
  readonly mine: boolean;
  readonly decides: boolean;
  readonly busy: boolean;
  readonly onRole: (role: Role) => void;
  readonly onRemove: () => void;
}

function OneMember({ member, mine, decides, busy, onRole, onRemove }: OneMemberProps) {
  const { name, role, since } = member;
  const day = print.value.dates.day(Date.parse(since));
  return (
    <li>
      <p>
        <strong>{mine ? of.you(name) : name}</strong>
        <span class="soft">
          {of.since(of.roles[role], day)}: {of.does[role]}
        </span>
      </p>
      {decides && !mine && (
        <>
          <p class="acts">
            <Choice label={of.roleOf(name)} value={role} onValue={onRole} options={ROLES} />
          </p>
          <Guarded
            summary={of.remove}
            label={of.removeThis(name)}
            hint={of.removeHint(name)}
            act={of.removeAct}
            busy={busy}
            onAct={onRemove}
          />
        </>
      )}
    </li>
  );
}

export const ROLES = (['keeper', 'mentor', 'reader'] as const).map((role): readonly [Role, string] => [
  role,
  of.roles[role],
]);

/** Names are kept on the device, so that the diary can tell who wrote without a network. */
export function remember(members: readonly Member[]): void {
  names.value = {
    ...names.peek(),
    ...Object.fromEntries(members.map(({ account, name }) => [account, name])),
  };
}
