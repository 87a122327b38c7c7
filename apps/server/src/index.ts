export { pages } from './pages.ts';
export { type Served, type ServeOptions, serveApp } from './serve.ts';
export { readSite, type Site, type SiteFile } from './site.ts';
