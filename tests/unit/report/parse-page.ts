import { type DefaultTreeAdapterTypes, parse } from 'parse5';

/** What a test wants to know of a page: elements in document order, their attributes, all text, and parser complaints. */
export interface ParsedPage {
  readonly elements: readonly { readonly name: string; readonly attributes: ReadonlyMap<string, string> }[];
  /** Text in document order, without style sheets, white space collapsed. */
  readonly text: string;
  readonly errors: readonly string[];
}

export function parsePage(html: string): ParsedPage {
  const errors: string[] = [];
  const document = parse(html, {
    onParseError: (error) => errors.push(`${error.code} at ${error.startLine}`),
  });
  const elements: { name: string; attributes: Map<string, string> }[] = [];
  const pieces: string[] = [];
  const visit = (node: DefaultTreeAdapterTypes.Node): void => {
    if (node.nodeName === 'style') return;
    if ('value' in node) pieces.push(node.value);
    if ('attrs' in node) {
      elements.push({
        name: node.tagName,
        attributes: new Map(node.attrs.map(({ name, value }) => [name, value])),
      });
    }
    if ('childNodes' in node) node.childNodes.forEach(visit);
    pieces.push(' ');
  };
  visit(document);
  return { elements, text: pieces.join('').replace(/\s+/g, ' '), errors };
}
