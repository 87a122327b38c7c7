export { rules } from './access/rules.ts';
export { type Config, ConfigError, readConfig } from './config.ts';
export { describeInterface } from './openapi.ts';
export { pages } from './pages.ts';
export { type Served, type ServeOptions, serveApp } from './serve.ts';
export { readSite, type Site, type SiteFile } from './site.ts';
