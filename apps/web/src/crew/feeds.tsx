import { useState } from 'preact/hooks';
import { ask } from '../sharing/ask.ts';
import { sharingWords } from '../words/sharing.ts';
import { Messages } from './messages.tsx';
import { Outcome } from './outcome.tsx';
import { ToHandOver } from './to-hand-over.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.feeds;

/** What is due, where it is seen without opening this page: a calendar, a sheet of paper, a message. */
export function Feeds() {
  const [address, setAddress] = useState('');
  const deed = useDeed();
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return (
    <section class="part" aria-labelledby="feeds">
      <h2 id="feeds">{of.title}</h2>
      <p>
        <a href={`/digest?zone=${encodeURIComponent(timeZone)}`} target="_blank" rel="noreferrer">
          {of.digest}
        </a>
      </p>
      <p class="said-now soft">{of.calendarHint}</p>
      <p class="acts">
        <button
          class="act"
          type="button"
          disabled={deed.busy}
          onClick={() =>
            deed.run(async () => {
              setAddress((await ask<{ readonly address: string }>('POST', '/api/calendar')).address);
              return undefined;
            })
          }
        >
          {of.calendar}
        </button>
        <button
          class="word"
          type="button"
          disabled={deed.busy}
          onClick={() =>
            deed.run(async () => {
              await ask('DELETE', '/api/calendar');
              setAddress('');
              return of.ended;
            })
          }
        >
          {of.calendarEnd}
        </button>
      </p>
      {address !== '' && <ToHandOver label={of.address} hint={of.calendarHint} value={address} />}
      <Outcome deed={deed} />
      <Messages />
    </section>
  );
}
