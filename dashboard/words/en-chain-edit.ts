const carries = (of: string | null) => (of === null ? 'nothing that is known' : of)

/** Texts of a chain that is being changed. */
export const chainEditWords = {
  change: 'Change',
  title: 'Chain: draft',
  intro:
    'Nothing here touches the chain that runs. Choose a block or a connection, change it, prove it on recorded bends, then apply it.',
  began: (revision: string) => `Draft, begun from ${revision}.`,
  movedOn: (revision: string) =>
    `Meanwhile ${revision} runs. What differs is told against that one.`,
  discard: 'Discard draft',
  discarded: 'The draft is discarded; the chain that runs is as it was.',
  sure: 'Discard it? The draft is lost.',
  keepIt: 'Keep it',
  undo: 'Undo',
  redo: 'Redo',
  acts: 'What to do with the draft',
  loading: 'Getting the blocks…',
  legend: {
    added: 'new',
    changed: 'changed',
    fault: 'at fault',
    connected: 'new connection',
    item: 'events, now and then',
  },
  marks: { added: 'new', changed: 'changed', fault: 'at fault' },
  draftDrawing: 'The draft as a drawing',
  draftText: 'The draft as text',
  nothing: 'No change yet.',
  differs: 'What differs',
  added: (ids: string) => `New: ${ids}.`,
  altered: (ids: string) => `Changed: ${ids}.`,
  removed: (ids: string) => `Removed: ${ids}.`,
  connected: (what: string) => `Connected: ${what}.`,
  disconnected: (what: string) => `Disconnected: ${what}.`,
  noteChanged: 'The note is another.',
  checking: 'Checking…',
  accepted: 'Checked: this chain can run.',
  refusedAt: (where: string) => `Not good yet, at ${where}:`,
  refused: 'Not good yet:',
  show: (id: string) => `Open ${id}`,

  addBlock: 'Add a block',
  whichBlock: 'Block of the catalogue',
  whichBlockHelp: 'It comes unconnected; connect its inputs on its own sheet.',
  add: 'Add',
  kindOf: (kind: string, summary: string) => `${kind}: ${summary}`,

  connection: (from: string, to: string) => `${from} → ${to}`,
  openConnection: (from: string, to: string) => `Connection ${from} to ${to}`,
  carriesNumber: (unit: string) => `It carries numbers in ${unit}.`,
  carriesItem: (item: string) => `It carries items: ${item}.`,
  insertHere: 'Blocks that fit in here',
  insert: 'Insert',
  noneFits: 'No block of the catalogue takes and gives this.',
  disconnect: 'Disconnect',

  name: 'Name in this chain',
  nameHelp: 'Small letters, digits and hyphens.',
  inputs: 'Inputs',
  outputs: 'Outputs',
  inputFrom: (port: string, of: string) => `${port} (${of})`,
  unconnected: 'not connected',
  mustBe: 'It must be connected.',
  mayBe: 'It may stay unconnected.',
  connections: 'Its connections',
  noConnections: 'It is not connected.',
  removeBlock: 'Remove block',
  noParameters: 'It has no parameters.',
  on: 'yes',
  off: 'no',
  range: (bounds: string, standard: string) => {
    const text = standard === '' ? 'empty' : standard
    return bounds === '' ? `Default ${text}` : `${bounds}; default ${text}`
  },

  noNumber: (text: string) => `“${text}” is no number.`,
  noInteger: (text: string) => `“${text}” is no whole number.`,
  outside: (range: string) => `It must be ${range}.`,
  tooLong: (most: number) => `At most ${most} characters.`,
  noMatch: (pattern: string) => `It must match ${pattern}.`,
  noJson: (why: string) => `This is not JSON yet: ${why}.`,
  textHelp:
    'What is typed here is the draft as soon as it reads as a chain; the check says the rest.',

  noBlock: (id: string) => `There is no block "${id}" in the draft.`,
  noKind: (kind: string) => `The catalogue has no block "${kind}".`,
  full: (most: number) => `A chain has at most ${most} blocks.`,
  oneSource: 'A chain has one "link" block, and this one has it.',
  keepSource: (id: string) => `"${id}" stays: without its lines the chain has nothing to do.`,
  noConnection: (from: string, to: string) => `${from} and ${to} are not connected.`,
  fitsNot: (kind: string, from: string, to: string) =>
    `"${kind}" does not take and give what goes from ${from} to ${to}.`,
  noOutput: (from: string) => `There is no output ${from}.`,
  noInput: (to: string) => `There is no input ${to}.`,
  unlike: (from: string, given: string | null, to: string, taken: string | null) =>
    `${from} carries ${carries(given)}, but ${to} takes ${carries(taken)}.`,
  notConnected: (to: string) => `${to} is not connected.`,
  noParameter: (id: string, name: string) => `"${id}" has no parameter "${name}".`,
  badName: (name: string) =>
    `"${name}" is no name: begin with a small letter, go on with small letters, digits, hyphens; at most 40.`,
  nameTaken: (name: string) => `Another block is called "${name}".`,
}
