/** What answers a GET and is no page to look at: files, pictures, scripts, feeds, what machines watch. */
export const NO_PAGE =
  /^\/(?:\*|v1\/.*|healthz|readyz|metrics|home|.*\.(?:js|css|json|ics|csv|eml)|photos\/.*)$/;

/** Every address that answers a GET, as the router prints it. */
export function routesOf(printed: string): string[] {
  const above: string[] = [];
  return printed.split('\n').flatMap((line) => {
    const [, indent = '', part = '', methods = ''] =
      /^((?:│ {3}| {4})*)(?:├── |└── )(\S*)(?: \(([^)]*)\))?/.exec(line) ?? [];
    if (part === '') return [];
    const depth = indent.length / 4;
    above.length = depth;
    const path = `${above[depth - 1] ?? ''}${part}`;
    above.push(path);
    return methods.split(', ').includes('GET') ? [path] : [];
  });
}

/** The route that an address takes: of all that fit, the one with most fixed parts. */
export function routeOf(url: string, routes: readonly string[]): string | undefined {
  const [path = ''] = url.split(/[?#]/);
  const fixed = (route: string) => route.split('/').filter((part) => !part.startsWith(':')).length;
  return routes
    .filter((route) =>
      new RegExp(`^${route.replaceAll(/:\w+(?:\([^)]*\))?/g, '[^/]+')}$`).test(path),
    )
    .toSorted((a, b) => fixed(b) - fixed(a))[0];
}
