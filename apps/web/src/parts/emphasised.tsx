/** A sentence with the part that matters now underlined. */
export function Emphasised({ sentence, emphasis }: { sentence: string; emphasis: string | null }) {
  const at = emphasis === null ? -1 : sentence.indexOf(emphasis);
  if (emphasis === null || at < 0) return <>{sentence}</>;
  return (
    <>
      {sentence.slice(0, at)}
      <em class="window">{emphasis}</em>
      {sentence.slice(at + emphasis.length)}
    </>
  );
}
