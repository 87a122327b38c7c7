import { Fetched } from '../parts/fetched.tsx';

const door = () => import('./door.tsx');

/** The ways to the places of the crew, whose code is fetched when someone comes in. */
export const SignInDoor = () => <Fetched load={door}>{({ SignIn }) => <SignIn />}</Fetched>;

export const JoinDoor = ({ secret }: { secret: string }) => (
  <Fetched load={door}>{({ Join }) => <Join secret={secret} />}</Fetched>
);

export const CrewDoor = ({ id }: { id: string }) => (
  <Fetched load={() => import('./crew-place.tsx')}>{({ CrewPlace }) => <CrewPlace id={id} />}</Fetched>
);
