/** What the room site needs: the site's search list, and what its scripts say about themselves in the page. */

/** [address, title, name in Latin or short, [anchor, heading, text] a heading], site/search.py. */
type SearchPage = [string, string, string, [string, string, string][]];

interface SearchEntry {
  order: number;
  url: string;
  shown: { title: string; heading: string; text: string };
  name: string[];
  title: string[];
  heading: string[];
  text: string[];
}
interface Wristward {
  searchIndex: SearchPage[];
  search: {
    find(entries: SearchEntry[], query: string): SearchEntry[];
    prepare(pages: SearchPage[]): SearchEntry[];
    tokens(text: string): string[];
  };
}
interface Selected {
  "header .ww-search": HTMLFormElement;
  "main .ww-search": HTMLFormElement;
  ".ww-search__panel": HTMLElement;
  ".ww-search__results": HTMLElement;
  "input[type=search]": HTMLInputElement;
  "details[open]": HTMLDetailsElement;
  "a[href]": HTMLAnchorElement;
}
