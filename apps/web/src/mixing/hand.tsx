import { useState } from 'preact/hooks';
import { paths } from '../state/paths.ts';
import { mixingWords } from '../words/mixing.ts';
import type { Sheet } from './sheet.ts';
import { draftOf, putBack, queryOf, replaceDraft, setAside } from './state.ts';

const of = mixingWords.hand;

/** What can be done with the sheet itself: hand it on, print it, empty it. */
export function Hand({ sheet: { tool, fields } }: { sheet: Sheet }) {
  const [said, setSaid] = useState<'copied' | 'here' | undefined>();
  const aside = setAside.value[tool.id];
  const link = `${location.origin}${paths.mixing(tool.id)}?${queryOf(fields)}`;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link);
      setSaid('copied');
    } catch {
      // Refused, or an address without encryption: the link is shown to be copied by hand.
      setSaid('here');
    }
  };
  return (
    <div class="hand">
      <p class="acts">
        <button class="word" type="button" onClick={() => void copy()}>
          {of.link}
        </button>
        <button class="word" type="button" onClick={() => globalThis.print()}>
          {of.print}
        </button>
        {Object.keys(draftOf(tool.id).value).length > 0 && (
          <button class="word" type="button" onClick={() => replaceDraft(tool.id, {}, 'emptied')}>
            {of.empty}
          </button>
        )}
      </p>
      <div role="status">
        {aside !== undefined && (
          <p>
            {aside.why === 'link' ? of.linked : of.emptied}{' '}
            <button class="word" type="button" onClick={() => putBack(tool.id)}>
              {of.putBack}
            </button>
          </p>
        )}
        {said === 'copied' && <p>{of.copied}</p>}
        {said === 'here' && (
          <p class="to-copy">
            {of.here} <span>{link}</span>
          </p>
        )}
      </div>
    </div>
  );
}
