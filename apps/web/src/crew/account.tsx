import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import { Field, PasswordInput, TextInput } from '../parts/field.tsx';
import { SharingLine } from '../parts/sharing-line.tsx';
import { ask } from '../sharing/ask.ts';
import { factsFor } from '../state/journal.ts';
import { type Person, person } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { askAgain, onlyHere, remember, sharing } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { sharingWords } from '../words/sharing.ts';
import { Feeds } from './feeds.tsx';
import { Guarded } from './guarded.tsx';
import { Outcome } from './outcome.tsx';
import { hasPasskeys, makePasskey } from './passkeys.ts';
import { Sessions } from './sessions.tsx';
import { type Deed, useDeed } from './use-deed.ts';

const of = sharingWords.account;

/** What the Workshop has of the server: who one is there, what goes there, and how to take it all away. */
export function Account() {
  const { server } = sharing.value;
  const who = person.value.now;
  if (server === 'none') return null;
  const within = server === 'alone' || who !== null;
  return (
    <>
      <section class="part" aria-labelledby="account">
        <h2 id="account">{of.title}</h2>
        {server === 'alone' && (
          <p>
            {of.alone} {of.demonstration}
          </p>
        )}
        {server === 'shared' && who === null && <p>{of.guest}</p>}
        {server === 'shared' && who !== null && <p>{of.as(who.name)}</p>}
        <div class="soft">
          <SharingLine />
        </div>
        {within && (
          <p class="acts">
            <button class="word" type="button" onClick={() => askAgain.value()}>
              {of.again}
            </button>
          </p>
        )}
        {server === 'shared' && who !== null && <Own who={who} />}
      </section>
      {within && <Feeds />}
    </>
  );
}

interface Self {
  readonly hasPassword: boolean;
  readonly passkeys: readonly { readonly id: string; readonly created: string }[];
}

function Own({ who }: { who: Person }) {
  const deed = useDeed();
  const [self, setSelf] = useState<Self | undefined>();
  const look = async (): Promise<undefined> => {
    setSelf(await ask<Self>('GET', '/api/self'));
  };
  useEffect(() => deed.run(look), [who.account]);
  const change = (work: () => Promise<unknown>, said: string) => deed.change(work, look, said);
  return (
    <>
      <OnlyHere />
      <Leaving deed={deed} />
      <Outcome deed={deed} />
      {self !== undefined && <WaysIn self={self} deed={deed} change={change} />}
      <Sessions />
      <details class="opens">
        <summary>{of.away}</summary>
        <div class="opened">
          <p class="soft">{of.awayHint}</p>
          <p class="acts">
            <a class="act" href="/api/journal" download>
              {of.journalFile}
            </a>
            <a class="act" href="/api/self/export" download>
              {of.accountFile}
            </a>
          </p>
        </div>
      </details>
      <Closing />
    </>
  );
}

/** Tanks that only this device has, each to be kept on the server when its keeper says so. */
function OnlyHere() {
  if (onlyHere.value.length === 0) return null;
  const nameOf = (tank: TankId) => factsFor(tank)?.name ?? words.rounds.unnamed;
  const choose = (tank: TankId) => {
    remember({ chosen: [...sharing.peek().chosen, tank] });
    askAgain.peek()();
  };
  return (
    <>
      <h3 class="within">{of.onlyHere}</h3>
      <p class="soft">{of.onlyHereHint}</p>
      <ul class="lines">
        {onlyHere.value.map((tank) => (
          <li key={tank}>
            <button class="word" type="button" onClick={() => choose(tank)}>
              {of.keepToo(nameOf(tank))}
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function Leaving({ deed }: { deed: Deed }) {
  const leave = () =>
    deed.run(async () => {
      await ask('DELETE', '/api/sessions/current');
      forgetPerson();
      return undefined;
    });
  return (
    <>
      <p class="acts">
        <button class="act" type="button" onClick={leave}>
          {of.out}
        </button>
      </p>
      <p class="soft said-now">{of.outHint}</p>
    </>
  );
}

/** Nobody is signed in any more: this device's own journal stays as it is. */
function forgetPerson(): void {
  person.value = { now: null };
  remember({ roles: {}, refused: {}, agreedAt: null });
  askAgain.peek()();
}

interface WaysInProps {
  readonly self: Self;
  readonly deed: Deed;
  readonly change: (work: () => Promise<unknown>, said: string) => void;
}

function WaysIn({ self: { hasPassword, passkeys }, deed, change }: WaysInProps) {
  const [password, setPassword] = useState('');
  const day = (instant: string) => print.value.dates.full(Date.parse(instant));
  return (
    <details class="opens">
      <summary>{of.ways}</summary>
      <div class="opened">
        <ul class="crew">
          {passkeys.map(({ id, created }) => (
            <li key={id}>
              <p>{of.passkey(day(created))}</p>
              <Guarded
                summary={of.forget}
                label={of.forgetThis(day(created))}
                hint={of.forgetHint}
                act={of.forgetAct}
                busy={deed.busy}
                onAct={() =>
                  change(() => ask('DELETE', `/api/self/passkeys/${encodeURIComponent(id)}`), of.forgotten)
                }
              />
            </li>
          ))}
          <li>
            <p>{hasPassword ? of.hasPassword : of.noPassword}</p>
          </li>
        </ul>
        {hasPasskeys() && (
          <p class="acts">
            <button
              class="act"
              type="button"
              disabled={deed.busy}
              onClick={() =>
                change(
                  () => makePasskey('/api/self/passkey-options', '/api/self/passkeys', {}),
                  of.passkeyMade,
                )
              }
            >
              {of.addPasskey}
            </button>
          </p>
        )}
        <form
          onSubmit={(event) => {
            event.preventDefault();
            change(() => ask('PUT', '/api/self/password', { password }), of.passwordSet);
            setPassword('');
          }}
        >
          <div class="form said-now">
            <Field label={of.newPassword} hint={sharingWords.door.passwordHint}>
              <PasswordInput value={password} onValue={setPassword} complete="new-password" least={12} />
            </Field>
          </div>
          <p class="acts">
            <button class="act" type="submit" disabled={deed.busy}>
              {of.setPassword}
            </button>
          </p>
        </form>
      </div>
    </details>
  );
}

function Closing() {
  const [name, setName] = useState('');
  const deed = useDeed();
  return (
    <details class="opens">
      <summary>{of.close}</summary>
      <form
        class="opened"
        onSubmit={(event) => {
          event.preventDefault();
          deed.run(async () => {
            await ask('DELETE', '/api/self', { name });
            forgetPerson();
            return of.closed;
          });
        }}
      >
        <p class="problem">{of.closeWarning}</p>
        <div class="form said-now">
          <Field label={of.closeName}>
            <TextInput value={name} onValue={setName} required />
          </Field>
        </div>
        <p class="acts">
          <button class="act" type="submit" disabled={deed.busy}>
            {of.closeAct}
          </button>
        </p>
        <Outcome deed={deed} />
      </form>
    </details>
  );
}
