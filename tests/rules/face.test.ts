import { dirname, relative, resolve } from 'node:path';
import ts from 'typescript';
import { expect, test } from 'vitest';
import { root, sources } from './tree.ts';

const FACE = 'src/index.ts';

const files = new Map(
  sources('src').map(({ path, text }) => [path, ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)]),
);
const fileOf = (path: string): ts.SourceFile => files.get(path) as ts.SourceFile;

/** A name as it is called where it was made: `path name`. */
const called = (path: string, name: string): string => `${path} ${name}`;

/** Names that an import or export brings from another file of the project, with where they were made. */
const brought = (path: string, statement: ts.Statement): (readonly [string, string])[] => {
  const isImport = ts.isImportDeclaration(statement);
  if (!(isImport || ts.isExportDeclaration(statement)) || statement.moduleSpecifier === undefined) return [];
  const from = (statement.moduleSpecifier as ts.StringLiteral).text;
  const names = isImport ? statement.importClause?.namedBindings : statement.exportClause;
  if (!from.startsWith('.') || names === undefined || !(ts.isNamedImports(names) || ts.isNamedExports(names)))
    return [];
  const there = relative(root, resolve(root, dirname(path), from));
  return names.elements.map(({ name, propertyName }) => [name.text, called(there, (propertyName ?? name).text)]);
};

/** What a caller of something has to name: a type whole, of a function what it takes and gives. */
const told = (node: ts.Node): readonly ts.Node[] => {
  if (ts.isTypeAliasDeclaration(node)) return [node.type];
  if (!ts.isVariableDeclaration(node)) return [];
  const made = node.initializer;
  if (made === undefined || !ts.isArrowFunction(made)) return node.type === undefined ? [] : [node.type];
  return [...made.parameters.flatMap(({ type }) => type ?? []), ...(made.type === undefined ? [] : [made.type])];
};

const namesIn = (node: ts.Node): string[] => [
  ...(ts.isTypeReferenceNode(node) && ts.isIdentifier(node.typeName) ? [node.typeName.text] : []),
  ...node.getChildren().flatMap(namesIn),
];

/** The types that an export names, as called where they were made; a type that its file keeps to itself stands for those that it names. */
const typesNamed = (path: string, name: string): string[] => {
  const { statements } = fileOf(path);
  const declarations = statements.flatMap((statement): readonly (ts.TypeAliasDeclaration | ts.VariableDeclaration)[] =>
    ts.isTypeAliasDeclaration(statement)
      ? [statement]
      : ts.isVariableStatement(statement)
        ? statement.declarationList.declarations
        : [],
  );
  const elsewhere = new Map(statements.flatMap((statement) => brought(path, statement)));
  return declarations
    .filter((one) => one.name.getText() === name)
    .flatMap(told)
    .flatMap(namesIn)
    .flatMap((type) => {
      const own = declarations.find((one) => one.name.getText() === type);
      if (own === undefined) return elsewhere.get(type) ?? [];
      const isExported = (ts.getCombinedModifierFlags(own) & ts.ModifierFlags.Export) !== 0;
      return isExported ? [called(path, type)] : typesNamed(path, type);
    });
};

test('every type that the face takes or gives is exported there too, or its user could not name it', () => {
  const face = new Set(
    fileOf(FACE).statements.flatMap((statement) => brought(FACE, statement).map(([, made]) => made)),
  );
  expect(face.size).toBeGreaterThan(40);
  const forgotten = [...face].flatMap((made) => {
    const [path, name] = made.split(' ') as [string, string];
    return typesNamed(path, name)
      .filter((type) => !face.has(type))
      .map((type) => `${name} needs ${type}`);
  });
  expect([...new Set(forgotten)]).toEqual([]);
});
