/** What a block may be called in a chain, and a kind in a catalogue. */
export const ID = '[a-z][a-z0-9-]{0,39}'
/** What a port may be called. */
export const PORT = '[a-z][a-zA-Z0-9]{0,39}'
/** One end of a connection: `block.port`. */
export const END = `^${ID}\\.${PORT}$`
