import { useState } from 'preact/hooks';
import { sharingWords } from '../words/sharing.ts';
import { Outcome } from './outcome.tsx';
import { canBeTold, isTold, pushKey, stopTelling, tellDevice } from './push.ts';
import { QuietHours } from './quiet-hours.tsx';
import { useDeed } from './use-deed.ts';

const of = sharingWords.messages;

type Able = { readonly key: string; readonly told: boolean } | 'not-asked' | 'none-sent';

/** Messages to this device. Whether the server can send any is asked when someone wants to know. */
export function Messages() {
  const [able, setAble] = useState<Able>('not-asked');
  const deed = useDeed();
  const look = async (): Promise<undefined> => {
    const key = await pushKey();
    setAble(key === undefined ? 'none-sent' : { key, told: await isTold() });
  };
  const change = (work: () => Promise<void>, said: string) => deed.change(work, look, said);
  return (
    <details
      class="opens"
      onToggle={(event) => {
        if (event.currentTarget.open && able === 'not-asked') deed.run(look);
      }}
    >
      <summary>{of.title}</summary>
      <div class="opened">
        {able === 'none-sent' && <p class="soft">{of.noneSent}</p>}
        {typeof able === 'object' && (
          <>
            <p class="soft">{canBeTold() ? of.hint : of.noneShown}</p>
            {canBeTold() && (
              <p class="acts">
                <button
                  class="act"
                  type="button"
                  disabled={deed.busy}
                  onClick={() =>
                    able.told ? change(stopTelling, of.stopped) : change(() => tellDevice(able.key), of.on)
                  }
                >
                  {able.told ? of.stop : of.tell}
                </button>
              </p>
            )}
          </>
        )}
        <Outcome deed={deed} />
        {typeof able === 'object' && <QuietHours />}
      </div>
    </details>
  );
}
