/** Where the places are; every link goes through here. */
export const paths = {
  rounds: '/',
  newTank: '/new',
  workshop: '/workshop',
  mixingRoom: '/mixing',
  mixing: (tool: string) => `/mixing/${tool}`,
  tank: (id: string) => `/tank/${id}`,
  bench: (id: string) => `/tank/${id}/bench`,
  entry: (tank: string, id: string) => `/tank/${tank}/entry/${id}`,
  label: (id: string) => `/tank/${id}/label`,
  crew: (id: string) => `/tank/${id}/crew`,
  signIn: '/sign-in',
} as const;
