import { useEffect, useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { Field, PasswordInput, TextInput } from '../parts/field.tsx';
import { Title } from '../parts/title.tsx';
import { ask, Refusal, sayError } from '../sharing/ask.ts';
import { paths } from '../state/paths.ts';
import { person } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { askAgain } from '../state/sharing.ts';
import { sharingWords } from '../words/sharing.ts';
import { Outcome } from './outcome.tsx';
import { hasPasskeys, makePasskey, usePasskey } from './passkeys.ts';
import { useDeed } from './use-deed.ts';

const of = sharingWords.door;

/** Where someone with an account comes in. */
export function SignIn() {
  const { query, route } = useLocation();
  const deed = useDeed();
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  // Only places of our own: an address from elsewhere must not send people away from here.
  const back = query.back?.startsWith('/join/') === true ? query.back : paths.rounds;
  const enter = (work: () => Promise<unknown>) =>
    deed.run(async () => {
      await work();
      askAgain.peek()();
      route(back);
      return undefined;
    });
  const who = person.value.now;
  return (
    <div class="narrow">
      <div class="lede">
        <Title name={of.title}>{of.title}</Title>
        <p>{of.lede}</p>
        {who !== null && <p>{of.already(who.name)}</p>}
      </div>
      {hasPasskeys() ? (
        <p class="acts">
          <button class="act chief" type="button" disabled={deed.busy} onClick={() => enter(usePasskey)}>
            {of.usePasskey}
          </button>
        </p>
      ) : (
        <p class="said-now">{of.noPasskeys}</p>
      )}
      <form
        class="part"
        onSubmit={(event) => {
          event.preventDefault();
          enter(() => ask('POST', '/api/sessions/password', { name, password }));
        }}
      >
        <div class="form">
          <Field label={of.name}>
            <TextInput value={name} onValue={setName} required complete="username" />
          </Field>
          <Field label={of.password}>
            <PasswordInput value={password} onValue={setPassword} complete="current-password" />
          </Field>
        </div>
        <p class="acts">
          <button class="act" type="submit" disabled={deed.busy}>
            {of.usePassword}
          </button>
        </p>
      </form>
      <Outcome deed={deed} />
    </div>
  );
}

interface Offer {
  readonly tank: string | null;
  readonly role: 'keeper' | 'mentor' | 'reader';
  readonly expires: string;
}

/** Where an invitation leads to. */
export function Join({ secret }: { secret: string }) {
  const [offer, setOffer] = useState<Offer | 'waiting' | 'ended' | { readonly fault: string }>('waiting');
  useEffect(() => {
    ask<Offer>('GET', `/api/invitations/${encodeURIComponent(secret)}`).then(setOffer, (error: unknown) =>
      setOffer(error instanceof Refusal && error.kind === 'expired' ? 'ended' : { fault: sayError(error) }),
    );
  }, [secret]);
  if (offer === 'waiting') return <p class="soft">{sharingWords.waiting}</p>;
  if (offer === 'ended') return <Ended />;
  if ('fault' in offer)
    return (
      <div class="lede">
        <Title name={of.join}>{of.join}</Title>
        <p role="alert">{offer.fault}</p>
      </div>
    );
  return <Offered secret={secret} offer={offer} />;
}

function Ended() {
  return (
    <div class="lede">
      <Title name={of.ended}>{of.ended}</Title>
      <p>{of.endedRemedy}</p>
      <p class="acts">
        <a class="act" href={paths.rounds}>
          {of.come}
        </a>
      </p>
    </div>
  );
}

function Offered({ secret, offer: { tank, role, expires } }: { secret: string; offer: Offer }) {
  const { route } = useLocation();
  const deed = useDeed();
  const who = person.value.now;
  const title = tank === null ? of.founding : of.join;
  const enter = (work: () => Promise<unknown>) =>
    deed.run(async () => {
      await work();
      askAgain.peek()();
      route(tank === null ? paths.rounds : paths.tank(tank));
      return undefined;
    });
  return (
    <div class="narrow">
      <div class="lede">
        <Title name={title}>{title}</Title>
        <p>{tank === null ? of.foundingLede : of.offer[role]}</p>
        <p>{of.serves(print.value.dates.full(Date.parse(expires)))}</p>
      </div>
      {who !== null && tank !== null ? (
        <p class="acts">
          <button
            class="act chief"
            type="button"
            disabled={deed.busy}
            onClick={() => enter(() => ask('POST', `/api/invitations/${secret}`))}
          >
            {of.accept(who.name)}
          </button>
        </p>
      ) : (
        <NewAccount secret={secret} busy={deed.busy} enter={enter} />
      )}
      <Outcome deed={deed} />
      {who === null && tank !== null && (
        <p class="said-now">
          {of.haveOne}{' '}
          <a href={`${paths.signIn}?back=${encodeURIComponent(`/join/${secret}`)}`}>{of.signInFirst}</a>
        </p>
      )}
    </div>
  );
}

interface NewAccountProps {
  readonly secret: string;
  readonly busy: boolean;
  readonly enter: (work: () => Promise<unknown>) => void;
}

function NewAccount({ secret, busy, enter }: NewAccountProps) {
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  const at = `/api/invitations/${secret}`;
  const named = (work: () => Promise<unknown>) =>
    enter(async () => {
      if (name.trim() === '') throw new Error(of.noName);
      return work();
    });
  return (
    <>
      <div class="form said-now">
        <Field label={of.newName} wide>
          <TextInput value={name} onValue={setName} complete="username" />
        </Field>
      </div>
      {hasPasskeys() && (
        <p class="acts">
          <button
            class="act chief"
            type="button"
            disabled={busy}
            onClick={() => named(() => makePasskey(`${at}/passkey-options`, `${at}/passkey`, { name }))}
          >
            {of.makePasskey}
          </button>
        </p>
      )}
      <form
        class="part"
        onSubmit={(event) => {
          event.preventDefault();
          named(() => ask('POST', `${at}/password`, { name, password }));
        }}
      >
        <div class="form">
          <Field label={of.orPassword} hint={of.passwordHint} wide>
            <PasswordInput value={password} onValue={setPassword} complete="new-password" least={12} />
          </Field>
        </div>
        <p class="acts">
          <button class="act" type="submit" disabled={busy}>
            {of.makePassword}
          </button>
        </p>
      </form>
    </>
  );
}
