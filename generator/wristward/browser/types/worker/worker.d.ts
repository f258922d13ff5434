/** What the build writes before the worker's own lines, site/offline.py. */

declare const VERSION: string;

/** Content hash by path within the site. */
declare const FILES: Record<string, string>;
