import { useEffect, useState } from 'preact/hooks';
import { words } from '../words/index.ts';

type Room = typeof import('./room.tsx');

/** The way into the mixing room. The room itself is fetched when someone comes in. */
export function MixingDoor({ tool }: { tool?: string }) {
  const [room, setRoom] = useState<Room | 'waiting' | 'failed'>('waiting');
  useEffect(() => {
    import('./room.tsx').then(setRoom, () => setRoom('failed'));
  }, []);
  if (room === 'waiting') return <p class="soft">{words.mixing.opening}</p>;
  if (room === 'failed')
    return (
      <div class="lede" role="alert">
        <p>{words.mixing.failed}</p>
        <p class="acts">
          <button class="act" type="button" onClick={() => location.reload()}>
            {words.mixing.again}
          </button>
        </p>
      </div>
    );
  return tool === undefined ? <room.MixingRoom /> : <room.ToolPlace id={tool} />;
}
