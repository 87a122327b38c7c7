import { useState } from 'preact/hooks';
import { sayError } from '../sharing/ask.ts';

/** Something asked of the server by a press: busy meanwhile, and afterwards what came of it in words. */
export function useDeed() {
  const [busy, setBusy] = useState(false);
  const [said, setSaid] = useState('');
  const [fault, setFault] = useState('');
  const doing = async (work: () => Promise<string | undefined>): Promise<void> => {
    setBusy(true);
    setFault('');
    setSaid('');
    try {
      setSaid((await work()) ?? '');
    } catch (error) {
      setFault(sayError(error));
    }
    setBusy(false);
  };
  const run = (work: () => Promise<string | undefined>): void => void doing(work);
  /** Does something, looks at what there is then, and says so. */
  const change = (work: () => Promise<unknown>, look: () => Promise<unknown>, done: string): void =>
    run(async () => {
      await work();
      await look();
      return done;
    });
  return { busy, said, fault, run, change };
}

export type Deed = ReturnType<typeof useDeed>;
