// Who may import whom: DEVELOPERS.md, "Who may import whom". tests/tidy.test.ts plants a breach to prove that this gate bites.

/** A folder, our folders it may use, and the packages it owns. Node built-ins only where `node` is true. */
const ROOMS = [
  { path: 'firmware-protocol/codec', uses: [], packages: [], node: false },
  { path: 'firmware-protocol/bench', uses: ['firmware-protocol/codec'], packages: [], node: true },
  { path: 'server/messages', uses: [], packages: ['typebox'], node: false },
  { path: 'server/bend', uses: ['server/quality'], packages: ['@stdlib'], node: false },
  { path: 'server/quality', uses: [], packages: ['@stdlib', 'ml-matrix'], node: false },
  { path: 'server/chain', uses: [], packages: ['typebox'], node: false },
  {
    path: 'server/blocks',
    uses: ['server/chain', 'server/bend', 'firmware-protocol/codec'],
    packages: ['typebox', 'jsep'],
    node: false,
  },
  {
    path: 'server/own-blocks',
    uses: ['server/chain', 'server/blocks', 'server/messages'],
    packages: ['typebox'],
    node: true,
  },
  {
    path: 'server/link',
    uses: ['firmware-protocol/codec', 'firmware-protocol/bench'],
    packages: ['serialport', '@serialport', 'modbus-serial'],
    node: true,
  },
  {
    path: 'server/history',
    uses: ['server/bend', 'server/messages', 'server/quality'],
    packages: ['better-sqlite3', 'canonicalize', 'typebox'],
    node: true,
  },
  {
    path: 'server/certificate',
    uses: ['server/messages'],
    packages: ['pdfkit', 'dejavu-fonts-ttf'],
    node: true,
  },
  {
    path: 'server/web',
    uses: ['server/messages', 'server/bend', 'server/quality', 'server/chain', 'server/history'],
    packages: ['fastify', '@fastify', 'ws', 'typebox'],
    node: true,
  },
  {
    path: 'server/people',
    uses: ['server/messages', 'server/history', 'server/web'],
    packages: ['@node-rs/argon2'],
    node: true,
  },
  { path: 'server/keeping', uses: ['server/history', 'server/messages'], packages: [], node: true },
  {
    path: 'dashboard',
    uses: ['server/messages', 'server/bend', 'server/quality'],
    packages: ['uplot', 'elkjs', 'preact', '@preact', 'typebox'],
    node: false,
  },
]

const oursNotAllowed = ROOMS.map(({ path, uses }) => ({
  name: `${path}: only its own neighbours`,
  severity: 'error',
  from: { path: `^${path}/` },
  to: {
    path: '^(firmware-protocol|server|dashboard|tests)/',
    pathNot: [path, ...uses].map((folder) => `^${folder}/`),
  },
}))

const packagesNotAllowed = ROOMS.map(({ path, packages }) => ({
  name: `${path}: only the packages it owns`,
  severity: 'error',
  from: { path: `^${path}/` },
  to: {
    dependencyTypes: ['npm', 'npm-dev', 'npm-optional', 'npm-peer', 'npm-no-pkg', 'unknown'],
    pathNot: packages.map((name) => `node_modules/${name}(/|$)`),
  },
}))

const nodeNotAllowed = ROOMS.filter(({ node }) => !node).map(({ path }) => ({
  name: `${path}: no Node built-ins`,
  severity: 'error',
  from: { path: `^${path}/` },
  to: { dependencyTypes: ['core'] },
}))

module.exports = {
  forbidden: [
    ...oursNotAllowed,
    ...packagesNotAllowed,
    ...nodeNotAllowed,
    {
      name: 'web: history by its interface only',
      severity: 'error',
      from: { path: '^server/web/' },
      to: { path: '^server/history/', pathNot: '^server/history/history.ts$' },
    },
    { name: 'no cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'nothing unresolvable', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    doNotFollow: { path: 'node_modules' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
    },
  },
}
