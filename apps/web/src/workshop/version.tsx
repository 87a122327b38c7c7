import { useState } from 'preact/hooks';
import { changeVersion, lookForNewer, newerVersion } from '../state/offline.ts';
import { words } from '../words/index.ts';

/** Looking for a newer version, and changing to it. */
export function Version() {
  const of = words.update;
  const [said, setSaid] = useState('');
  const look = async () => {
    try {
      setSaid((await lookForNewer()) ? of.ready : of.checked);
    } catch {
      setSaid(of.offline);
    }
  };
  return (
    <>
      <p class="acts">
        {newerVersion.value === undefined ? (
          <button class="word" type="button" onClick={() => void look()}>
            {of.check}
          </button>
        ) : (
          <button class="act" type="button" onClick={changeVersion}>
            {of.act}
          </button>
        )}
      </p>
      <p class="said-now" role="status">
        {newerVersion.value === undefined ? said : of.ready}
      </p>
    </>
  );
}
