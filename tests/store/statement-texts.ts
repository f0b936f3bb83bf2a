import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseSync } from 'oxc-parser';

/** A statement as it stands in the store, with the place where it is asked. */
export interface StatementText {
  readonly place: string;
  readonly text: string;
}

type Node = { readonly type: string; readonly [key: string]: unknown };
type Dialect = 'sqlite' | 'postgresql';
type Scope = ReadonlyMap<string, Value>;
/** What an expression can come to: texts, or something that only its users understand. */
type Value =
  | { readonly kind: 'texts'; readonly texts: readonly string[] }
  | { readonly kind: 'node'; readonly node: Node; readonly scope: Scope }
  | {
      readonly kind: 'tuples';
      readonly tuples: readonly (readonly Node[])[];
      readonly scope: Scope;
    };

const STORE = fileURLToPath(new URL('../../src/store', import.meta.url));

/** Parameters that stand in a text themselves: states, and the tables of exports and erasure. */
const PARAMETERS: ReadonlyMap<string, readonly string[]> = new Map([
  ['state', ['planned', 'unknown']],
  ['table', ['visit']],
  ['column', ['id']],
  ['where', ['1 = 1']],
]);

// Its texts are made from the tables' own lists of columns; the round trip of all records asks them.
const BY_TABLE = join('records', 'export-rows.ts');

/** A choice of texts must stay small enough to try them all. */
const MOST_TEXTS = 64;

/**
 * Every text that the store can ask a database, read from its sources: where a text is put together
 * from parts, once for each way that it can come out. Throws, naming the place, where it cannot tell.
 */
export function statementTexts(dialect: Dialect): StatementText[] {
  return new Reader(dialect).all();
}

class Reader {
  private readonly modules = new Map<string, { body: Node[]; scope: Map<string, Value> }>();
  private readonly dialect: Dialect;

  constructor(dialect: Dialect) {
    this.dialect = dialect;
  }

  all(): StatementText[] {
    const files = readdirSync(STORE, { recursive: true, encoding: 'utf8' }).filter(
      (file) => /-(rows|lists)\.ts$/.test(file) && file !== BY_TABLE,
    );
    return files.flatMap((file) => {
      const path = join(STORE, file);
      const { body, scope } = this.moduleAt(path);
      const found: StatementText[] = [];
      for (const node of body) {
        this.walk(node, scope, (call, inner) => {
          const argument = textArgument(call);
          if (argument === null) return;
          const place = `${file}:${lineOf(path, call)}`;
          found.push(...this.texts(argument, inner, place).map((text) => ({ place, text })));
        });
      }
      return found;
    });
  }

  private moduleAt(path: string): { body: Node[]; scope: Map<string, Value> } {
    const known = this.modules.get(path);
    if (known !== undefined) return known;
    const { program } = parseSync(path, readFileSync(path, 'utf8'));
    const body = program.body as unknown as Node[];
    const scope = new Map<string, Value>();
    const made = { body, scope };
    this.modules.set(path, made);
    for (const node of body) this.declare(node, scope);
    for (const node of body) {
      if (node.type !== 'ImportDeclaration') continue;
      const name = (node['source'] as { value: string }).value;
      if (!name.startsWith('.') || name.includes('generated') || name.includes('domain')) continue;
      const target = normalize(join(dirname(path), name));
      for (const part of node['specifiers'] as Node[]) {
        const local = (part['local'] as { name: string }).name;
        const value = this.moduleAt(target).scope.get(local);
        if (value !== undefined) scope.set(local, value);
      }
    }
    return made;
  }

  private declare(statement: Node, scope: Map<string, Value>): void {
    const node = (statement['declaration'] as Node | null | undefined) ?? statement;
    if (node.type === 'FunctionDeclaration') {
      scope.set((node['id'] as { name: string }).name, { kind: 'node', node, scope });
    }
    if (node.type !== 'VariableDeclaration') return;
    for (const { id, init } of node['declarations'] as { id: Node; init: Node | null }[]) {
      if (init === null) continue;
      if (id.type === 'Identifier') {
        scope.set(id['name'] as string, { kind: 'node', node: init, scope });
      } else if (id.type === 'ArrayPattern') {
        (id['elements'] as (Node | null)[]).forEach((element, i) => {
          if (element?.type !== 'Identifier') return;
          const tuples = tuplesOf(init).map((tuple) => [tuple[i]].filter((n) => n !== undefined));
          scope.set(element['name'] as string, { kind: 'tuples', tuples, scope });
        });
      }
    }
  }

  /** Calls back for every call, with the names that are known where it stands. */
  private walk(node: unknown, scope: Scope, onCall: (call: Node, scope: Scope) => void): void {
    if (Array.isArray(node)) {
      for (const one of node) this.walk(one, scope, onCall);
      return;
    }
    if (node === null || typeof node !== 'object' || !('type' in node)) return;
    const here = node as Node;
    let inner: Scope = scope;
    if (here.type === 'BlockStatement') {
      const block = new Map(scope);
      for (const statement of here['body'] as Node[]) this.declare(statement, block);
      inner = block;
    }
    if (here.type === 'CallExpression') onCall(here, inner);
    for (const value of Object.values(here)) {
      if (typeof value === 'object') this.walk(value, inner, onCall);
    }
  }

  private texts(node: Node, scope: Scope, place: string): readonly string[] {
    const cannot = (): never => {
      throw new Error(`${place}: cannot tell what a ${node.type} comes to; write it plainer`);
    };
    const limited = (texts: readonly string[]): readonly string[] => {
      if (texts.length > MOST_TEXTS) throw new Error(`${place}: ${texts.length} ways to say it`);
      return texts;
    };
    switch (node.type) {
      case 'Literal':
        return [String(node['value'])];
      case 'TSAsExpression':
      case 'TSSatisfiesExpression':
      case 'ParenthesizedExpression':
        return this.texts(node['expression'] as Node, scope, place);
      case 'TemplateLiteral': {
        const quasis = node['quasis'] as { value: { cooked: string } }[];
        const parts = node['expressions'] as Node[];
        return limited(
          quasis.reduce<readonly string[]>(
            (texts, quasi, i) => {
              const part = parts[i];
              const ends = part === undefined ? [''] : this.texts(part, scope, place);
              return texts.flatMap((text) => ends.map((end) => text + quasi.value.cooked + end));
            },
            [''],
          ),
        );
      }
      case 'BinaryExpression': {
        const [left, right] = [node['left'], node['right']].map((side) =>
          this.texts(side as Node, scope, place),
        ) as [readonly string[], readonly string[]];
        return limited(left.flatMap((a) => right.map((b) => a + b)));
      }
      case 'ConditionalExpression': {
        if (isDialectTest(node['test'] as Node)) {
          const side =
            this.dialect === dialectIn(node['test'] as Node) ? 'consequent' : 'alternate';
          return this.texts(node[side] as Node, scope, place);
        }
        return [node['consequent'], node['alternate']].flatMap((side) =>
          this.texts(side as Node, scope, place),
        );
      }
      case 'Identifier': {
        const value = scope.get(node['name'] as string);
        if (value === undefined) return this.sampled(node['name'] as string) ?? cannot();
        if (value.kind === 'texts') return value.texts;
        if (value.kind === 'node') return this.texts(value.node, value.scope, place);
        return value.tuples.flatMap((tuple) =>
          tuple.flatMap((one) => this.texts(one, value.scope, place)),
        );
      }
      case 'CallExpression':
        return limited(this.called(node, scope, place));
      default:
        return cannot();
    }
  }

  /** What a parameter of the store's own functions may be, by its name. */
  private sampled(name: string): readonly string[] | undefined {
    if (name === 'lock') return this.dialect === 'postgresql' ? ['', ' FOR UPDATE'] : [''];
    return PARAMETERS.get(name);
  }

  private called(node: Node, scope: Scope, place: string): readonly string[] {
    const callee = node['callee'] as Node;
    const given = node['arguments'] as Node[];
    if (callee.type === 'Identifier') {
      const name = callee['name'] as string;
      if (name === 'marks') return ['?', '?, ?'];
      if (name === 'forUpdateOfFree') {
        return [this.dialect === 'postgresql' ? ' FOR UPDATE SKIP LOCKED' : ''];
      }
      if (name === 'forUpdate') return [this.dialect === 'postgresql' ? ' FOR UPDATE' : ''];
      if (name === 'forShare') return [this.dialect === 'postgresql' ? ' FOR SHARE' : ''];
      const value = scope.get(name);
      if (value?.kind === 'node') return this.applied(value.node, value.scope, given, scope, place);
    }
    // A list made row by row: `rows.map(() => '(?, ?)').join(', ')`, tried with one row and with two.
    if (callee.type === 'MemberExpression' && nameOf(callee) === 'join') {
      const mapped = callee['object'] as Node;
      const each = (mapped['arguments'] as Node[] | undefined)?.at(-1);
      const [between] = given[0] === undefined ? [','] : this.texts(given[0], scope, place);
      if (mapped.type === 'CallExpression' && each !== undefined) {
        return this.applied(each, scope, [], scope, place).flatMap((one) => [
          one,
          `${one}${between}${one}`,
        ]);
      }
    }
    throw new Error(`${place}: cannot tell what this call comes to; write it plainer`);
  }

  /** What a small function returns for what it is given. */
  private applied(
    node: Node,
    home: Scope,
    given: readonly Node[],
    scope: Scope,
    place: string,
  ): readonly string[] {
    const inner = new Map(home);
    (node['params'] as Node[]).forEach((parameter, i) => {
      const argument = given[i];
      const name = (parameter['name'] ??
        (parameter['left'] as Node | undefined)?.['name']) as string;
      const fallback = parameter['right'] as Node | undefined;
      const meant = argument ?? fallback;
      if (meant !== undefined && name !== undefined) {
        inner.set(name, {
          kind: 'node',
          node: meant,
          scope: argument === undefined ? home : scope,
        });
      }
    });
    const body = node['body'] as Node;
    if (body.type !== 'BlockStatement') return this.texts(body, inner, place);
    for (const statement of body['body'] as Node[]) this.declare(statement, inner);
    const returned = returnsOf(body);
    if (returned.length === 0) throw new Error(`${place}: calls what returns nothing`);
    return returned.flatMap((one) => this.texts(one, inner, place));
  }
}

/** The text that a call asks a database with, or null where it asks none. */
function textArgument(call: Node): Node | null {
  const callee = call['callee'] as Node;
  const given = call['arguments'] as Node[];
  if (callee.type === 'Identifier' && callee['name'] === 'first') return given[1] ?? null;
  if (callee.type !== 'MemberExpression' || !['all', 'run'].includes(nameOf(callee))) return null;
  const object = callee['object'] as Node;
  const name = object.type === 'Identifier' ? (object['name'] as string) : nameOf(object);
  return name === 'sql' || name === 'reader' ? (given[0] ?? null) : null;
}

function nameOf(member: Node): string {
  return (member['property'] as { name?: string } | undefined)?.name ?? '';
}

function tuplesOf(node: Node): Node[][] {
  if (node.type === 'ArrayExpression') return [node['elements'] as Node[]];
  if (node.type === 'TSAsExpression') return tuplesOf(node['expression'] as Node);
  if (node.type !== 'ConditionalExpression') return [];
  return [node['consequent'], node['alternate']].flatMap((side) => tuplesOf(side as Node));
}

function isDialectTest(test: Node): boolean {
  return test.type === 'BinaryExpression' && nameOf(test['left'] as Node) === 'dialect';
}

function dialectIn(test: Node): Dialect {
  const { value } = test['right'] as { value: Dialect } & Node;
  return test['operator'] === '===' ? value : value === 'sqlite' ? 'postgresql' : 'sqlite';
}

function returnsOf(node: unknown): Node[] {
  if (Array.isArray(node)) return node.flatMap(returnsOf);
  if (node === null || typeof node !== 'object' || !('type' in node)) return [];
  const here = node as Node;
  if (here.type === 'ReturnStatement') return [here['argument'] as Node];
  if (/Function/.test(here.type)) return [];
  return Object.values(here).flatMap(returnsOf);
}

function lineOf(path: string, node: Node): number {
  return readFileSync(path, 'utf8')
    .slice(0, node['start'] as number)
    .split('\n').length;
}
