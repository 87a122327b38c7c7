import { useEffect, useRef, useState } from 'preact/hooks';
import type { Asked } from '../state/questions.ts';

/** How far a question has come. */
export type Standing<T> =
  | { readonly kind: 'none' }
  | { readonly kind: 'working'; readonly fraction: number }
  | { readonly kind: 'answered'; readonly answer: T }
  | { readonly kind: 'unanswered' }
  | { readonly kind: 'failed'; readonly why: string };

/** One question at a time to the worker: a new one, or leaving the page, calls the last one off. */
export function useAsked<T>() {
  const [standing, setStanding] = useState<Standing<T>>({ kind: 'none' });
  const under = useRef<Asked<T> | undefined>(undefined);
  const leave = () => {
    under.current?.leave();
    under.current = undefined;
    setStanding({ kind: 'none' });
  };
  const ask = (start: (onFraction: (fraction: number) => void) => Asked<T>) => {
    leave();
    const asked = start((fraction) => {
      if (under.current === asked) setStanding({ kind: 'working', fraction });
    });
    under.current = asked;
    setStanding({ kind: 'working', fraction: 0 });
    const settle = (outcome: Standing<T>) => {
      if (under.current !== asked) return;
      under.current = undefined;
      setStanding(outcome);
    };
    asked.answer.then(
      (answer) => settle(answer === undefined ? { kind: 'unanswered' } : { kind: 'answered', answer }),
      (error: unknown) =>
        settle({ kind: 'failed', why: error instanceof Error ? error.message : String(error) }),
    );
  };
  useEffect(() => () => under.current?.leave(), []);
  return { standing, ask, leave };
}
