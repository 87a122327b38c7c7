import { useState } from 'preact/hooks';
import { copyDue, keepCopy, notNow } from '../backup/copy.ts';
import { standing } from '../state/journal.ts';
import { changeVersion, newerVersion } from '../state/offline.ts';
import { words } from '../words/index.ts';
import { SharingNotices } from './sharing-line.tsx';

/** What a person should know whatever place they are in; silent while all is well. */
export function Notices() {
  return (
    <>
      <Unkept />
      <NewerVersion />
      <CopyDue />
      <SharingNotices />
    </>
  );
}

function Unkept() {
  const state = standing.value;
  return state.kind === 'memory' ? (
    <p class="standing" role="alert">
      {words.standing.memory(state.why)}
    </p>
  ) : null;
}

function NewerVersion() {
  if (newerVersion.value === undefined) return null;
  return (
    <div class="notice" role="status">
      <p>
        {words.update.ready} {words.update.safe}
      </p>
      <button class="act" type="button" onClick={changeVersion}>
        {words.update.act}
      </button>
    </div>
  );
}

function CopyDue() {
  const [said, setSaid] = useState('');
  const due = copyDue.value;
  if (standing.value.kind !== 'kept' || (due === undefined && said === '')) return null;
  return (
    <div class="notice">
      <p role="status">{due === undefined ? said : words.backup.nudge(due.days)}</p>
      {due !== undefined && (
        <>
          <button class="act" type="button" onClick={() => setSaid(words.backup.said(keepCopy()))}>
            {words.backup.act}
          </button>
          <button class="word" type="button" onClick={notNow}>
            {words.backup.later}
          </button>
        </>
      )}
    </div>
  );
}
