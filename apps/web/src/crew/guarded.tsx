interface GuardedProps {
  readonly summary: string;
  /** What the summary is called aloud, where there are several alike. */
  readonly label?: string;
  readonly hint: string;
  readonly act: string;
  readonly busy: boolean;
  readonly onAct: () => void;
}

/** Behind its name, with what it means: no other press takes it back, so none by chance may do it. */
export function Guarded({ summary, label, hint, act, busy, onAct }: GuardedProps) {
  return (
    <details class="opens">
      <summary aria-label={label}>{summary}</summary>
      <div class="opened">
        <p class="soft">{hint}</p>
        <p class="acts">
          <button class="act" type="button" disabled={busy} onClick={onAct}>
            {act}
          </button>
        </p>
      </div>
    </details>
  );
}
