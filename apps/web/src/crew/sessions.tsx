import { useState } from 'preact/hooks';
import { ask } from '../sharing/ask.ts';
import { print } from '../state/reader.ts';
import { sharingWords } from '../words/sharing.ts';
import { Guarded } from './guarded.tsx';
import { Outcome } from './outcome.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.sessions;

interface Session {
  readonly id: string;
  readonly device: keyof typeof of.devices;
  readonly began: string;
  readonly used: string;
  readonly here: boolean;
}

/** Where someone is signed in, each place to be signed out from here. */
export function Sessions() {
  const [all, setAll] = useState<readonly Session[]>([]);
  const deed = useDeed();
  const look = async (): Promise<undefined> => {
    setAll(await ask<readonly Session[]>('GET', '/api/sessions'));
  };
  const end = (which: string, said: string) =>
    deed.change(() => ask('DELETE', `/api/sessions/${which}`), look, said);
  const others = all.filter(({ here }) => !here);
  return (
    <details
      class="opens"
      onToggle={(event) => {
        if (event.currentTarget.open) deed.run(look);
      }}
    >
      <summary>{of.title}</summary>
      <div class="opened">
        <p class="soft">{of.hint}</p>
        <ul class="crew">
          {[...all.filter(({ here }) => here), ...others].map((session) => (
            <OneSession
              key={session.id}
              session={session}
              busy={deed.busy}
              onEnd={() => end(session.id, of.ended)}
            />
          ))}
        </ul>
        {others.length > 1 && (
          <Guarded
            summary={of.endOthers}
            hint={of.endOthersHint}
            act={of.endOthersAct}
            busy={deed.busy}
            onAct={() => end('others', of.othersEnded)}
          />
        )}
        <Outcome deed={deed} />
      </div>
    </details>
  );
}

function OneSession({ session, busy, onEnd }: { session: Session; busy: boolean; onEnd: () => void }) {
  const { device, began, used, here } = session;
  const { full, weekday } = print.value.dates;
  const since = full(Date.parse(began));
  return (
    <li>
      <p>
        <strong>{here ? of.here(of.devices[device]) : of.devices[device]}</strong>
        <span class="soft">{here ? of.since(since) : of.sinceAndUsed(since, weekday(Date.parse(used)))}</span>
      </p>
      {!here && (
        <Guarded
          summary={of.end}
          label={of.endThis(of.devices[device], since)}
          hint={of.endHint}
          act={of.endAct}
          busy={busy}
          onAct={onEnd}
        />
      )}
    </li>
  );
}
