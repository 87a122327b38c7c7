import { useState } from 'preact/hooks';
import { Field, FileInput } from '../parts/field.tsx';
import { broughtIn, standing, takeIn } from '../state/journal.ts';
import { bringElsewhere, parseElsewhere } from '../state/questions.ts';
import { words } from '../words/index.ts';
import type { Brought } from '../workers/protocol.ts';

interface Report {
  readonly said: string;
  /** Every line that was not taken, and why. */
  readonly faults: readonly string[];
}

/** A journal file in: what can be read is kept, and every line that cannot is reported with its reason. */
export function Bring() {
  const [report, setReport] = useState<Report | undefined>();
  const of = words.workshop;
  return (
    <section class="part" aria-labelledby="bring">
      <h2 id="bring">{of.bring}</h2>
      <p class="soft">{of.bringHint}</p>
      <Field label={of.bringFile}>
        <FileInput
          accept=".ndjson,.jsonl,.json,.txt,application/x-ndjson"
          onFile={(file) => void bring(file).then(setReport)}
        />
      </Field>
      <div role="status">
        {report !== undefined && (
          <>
            <p class="said-now">{report.said}</p>
            {report.faults.length > 0 && <p class="problem">{of.faults(report.faults.length)}</p>}
          </>
        )}
      </div>
      {report !== undefined && report.faults.length > 0 && (
        <ol class="faults" aria-label={of.faults(report.faults.length)}>
          {report.faults.map((fault) => (
            <li key={fault}>{fault}</li>
          ))}
        </ol>
      )}
    </section>
  );
}

async function bring(file: File): Promise<Report> {
  const of = words.workshop;
  try {
    const { read, added, clashes, faults } = await kept(await file.text());
    if (read === 0) return { said: of.broughtNothing, faults };
    return {
      said: of.brought(added, read - added - clashes.length),
      faults: [...faults, ...clashes.map(of.clash)],
    };
  } catch (error) {
    return { said: of.unreadable(error instanceof Error ? error.message : String(error)), faults: [] };
  }
}

/** Where the browser keeps the journal the worker writes it too; else what it has read is held by the page. */
async function kept(text: string): Promise<Brought> {
  if (standing.value.kind === 'kept') {
    const brought = await bringElsewhere(text);
    await broughtIn();
    return brought;
  }
  const { entries, faults } = await parseElsewhere(text);
  return { read: entries.length, faults, ...(await takeIn(entries)) };
}
