declare module '*?raw' {
  const text: string;
  export default text;
}

declare module '*.css';

interface ImportMetaEnv {
  /** True in a built page. */
  readonly PROD: boolean;
}

interface ImportMeta {
  readonly env: ImportMetaEnv;
}
