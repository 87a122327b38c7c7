import { useState } from 'preact/hooks';
import { copies, keepCopy } from '../backup/copy.ts';
import { ago } from '../format/print.ts';
import { now } from '../state/reader.ts';
import { words } from '../words/index.ts';

/** One tap: everything on this device in one file. */
export function Copy() {
  const [said, setSaid] = useState('');
  const { at } = copies.value;
  return (
    <>
      <p class="acts">
        <button class="act" type="button" onClick={() => setSaid(words.backup.said(keepCopy()))}>
          {words.backup.act}
        </button>
      </p>
      <p class="said-now" role="status">
        {said !== '' ? said : at === null ? words.backup.never : words.backup.last(ago(at, now.value))}
      </p>
    </>
  );
}
