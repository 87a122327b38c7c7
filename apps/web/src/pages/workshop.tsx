import { useEffect } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { Fetched } from '../parts/fetched.tsx';
import { Title } from '../parts/title.tsx';
import { sharing } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { Bring } from '../workshop/bring.tsx';
import { Device } from '../workshop/device.tsx';
import { Kits } from '../workshop/kits.tsx';
import { Send } from '../workshop/send.tsx';
import { Units } from '../workshop/units.tsx';

/** Journals in and out, kits, units, and what this device keeps. */
export function Workshop() {
  const { query } = useLocation();
  useEffect(() => {
    if (location.hash !== '') document.getElementById(location.hash.slice(1))?.scrollIntoView();
  }, []);
  return (
    <>
      <div class="lede">
        <Title name={words.workshop.title}>{words.workshop.title}</Title>
        <p>{words.workshop.lede}</p>
      </div>
      <Bring />
      <Send />
      {sharing.value.server !== 'none' && (
        <Fetched quiet load={() => import('../crew/account.tsx')}>
          {({ Account }) => <Account />}
        </Fetched>
      )}
      <Kits wanted={query.tank} />
      <Units />
      <Device />
    </>
  );
}
