import { mixingTools, type Shelf, shelves, type Tool, toolOf } from '@brinewright/counsel';
import { signal } from '@preact/signals';
import { useLocation } from 'preact-iso';
import { Field, TextInput } from '../parts/field.tsx';
import { Title } from '../parts/title.tsx';
import { paths } from '../state/paths.ts';
import { mixingWords as words } from '../words/mixing.ts';
import { sayText } from './figures.ts';
import { toolsFor } from './find.ts';
import { recent } from './state.ts';

export { ToolPlace } from './tool-place.tsx';

/** What was typed to find a tool; coming back from one, it still stands there. */
const sought = signal('');

/** Every tool of the mixing room, shelf by shelf, and a box to find one by a word. */
export function MixingRoom() {
  const { route } = useLocation();
  const typed = sought.value;
  const found = toolsFor(typed);
  const searching = typed.trim() !== '';
  return (
    <div class="mixing">
      <div class="lede">
        <Title name={words.title}>{words.title}</Title>
        <p>{words.lede}</p>
      </div>
      <search class="finder">
        <form
          onSubmit={(event) => {
            event.preventDefault();
            if (searching && found[0] !== undefined) route(paths.mixing(found[0].id));
          }}
        >
          <Field label={words.find} hint={words.findHint}>
            <TextInput
              value={typed}
              onValue={(value) => {
                sought.value = value;
              }}
            />
          </Field>
          <p class="soft" role="status">
            {searching && `${words.found(found.length)} ${found.length === 0 ? words.foundNone : ''}`}
          </p>
        </form>
      </search>
      {searching ? <ToolList tools={found} /> : <Shelves />}
    </div>
  );
}

function Shelves() {
  const last = recent.value.map((id) => toolOf(id)).filter((tool) => tool !== undefined);
  return (
    <>
      <nav class="to-shelves" aria-label={words.shelvesLabel}>
        {(Object.keys(shelves) as Shelf[]).map((shelf) => (
          <a key={shelf} href={`#shelf-${shelf}`}>
            {shelves[shelf]}
          </a>
        ))}
      </nav>
      {last.length > 0 && <ShelfPart id="last" title={words.last} tools={last} />}
      {(Object.keys(shelves) as Shelf[]).map((shelf) => (
        <ShelfPart
          key={shelf}
          id={shelf}
          title={shelves[shelf]}
          tools={mixingTools.filter((tool) => tool.shelf === shelf)}
        />
      ))}
    </>
  );
}

function ShelfPart({ id, title, tools }: { id: string; title: string; tools: readonly Tool[] }) {
  return (
    <section class="part" aria-labelledby={`shelf-${id}`}>
      <h2 id={`shelf-${id}`}>{title}</h2>
      <ToolList tools={tools} />
    </section>
  );
}

function ToolList({ tools }: { tools: readonly Tool[] }) {
  return (
    <ul class="sheets">
      {tools.map(({ id, title, purpose }) => (
        <li key={id}>
          <a href={paths.mixing(id)}>{title}</a>
          <p class="soft">{sayText(purpose)}</p>
        </li>
      ))}
    </ul>
  );
}
