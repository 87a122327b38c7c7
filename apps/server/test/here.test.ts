import { expect, it } from 'vitest';
import { memberOf, visitor } from './support/people.ts';
import { SHARED, testServer } from './support/server.ts';
import { tankOf } from './support/tanks.ts';

it('tells a page whether it is shared and who is signed in', async () => {
  const server = await testServer({ mode: SHARED });
  const { visitor: ines, account } = await memberOf(server, tankOf(1), 'reader', 'Ines');
  expect(await (await visitor(server).ask('GET', '/api/here')).json()).toEqual({
    shared: true,
    person: null,
  });
  expect(await (await ines.ask('GET', '/api/here')).json()).toEqual({
    shared: true,
    person: { account, name: 'Ines' },
  });
  await server.close();
});

it('says that it serves one person, who is asked for nothing', async () => {
  const alone = await testServer();
  const answer = await alone.app.request('http://localhost/api/here');
  expect(await answer.json()).toEqual({ shared: false, person: null });
  await alone.close();
});
