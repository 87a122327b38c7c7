import { Fetched } from '../parts/fetched.tsx';

/** The way to one entry's form; it is fetched when someone corrects something. */
export function AmendDoor({ id, entry }: { id: string; entry: string }) {
  return (
    <Fetched load={() => import('./amend.tsx')}>{({ Amend }) => <Amend id={id} entry={entry} />}</Fetched>
  );
}
