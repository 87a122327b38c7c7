import type { Deed } from './use-deed.ts';

/** What came of a press. */
export function Outcome({ deed: { said, fault } }: { deed: Deed }) {
  return (
    <>
      <p class="said-now" role="status">
        {said}
      </p>
      <p class="said-now problem" role="alert">
        {fault}
      </p>
    </>
  );
}
