export type Route =
  | { readonly page: 'bend' }
  | { readonly page: 'setup' }
  | { readonly page: 'sensor' }
  | { readonly page: 'chain' }
  | { readonly page: 'blocks' }
  /** `address`: the whole of it, with what is looked for. */
  | { readonly page: 'history'; readonly address: string }
  | { readonly page: 'charts'; readonly address: string }
  /** There is no such page. */
  | { readonly page: 'nowhere'; readonly address: string }
  | { readonly page: 'notebook' }
  | { readonly page: 'people' }
  | { readonly page: 'record'; readonly bendId: number }
  /** `setupId` null: of the set-up in use. */
  | { readonly page: 'springback'; readonly setupId: number | null }

const FRONT = ['', '#', '#/', '#/bend']

/** Reads a hash like `#/history/12`. None at all is the Bend page. */
export function routeOf(hash: string): Route {
  if (hash === '#/chain/blocks') return { page: 'blocks' }
  if (/^#\/history\/charts(?:\?.*)?$/s.test(hash)) return { page: 'charts', address: hash }
  const [, page, id] = /^#\/([a-z]+)(?:\/(\d{1,9}))?(?:\?.*)?$/s.exec(hash) ?? []
  if (
    page === 'setup' ||
    page === 'sensor' ||
    page === 'chain' ||
    page === 'notebook' ||
    page === 'people'
  )
    return { page }
  if (page === 'history')
    return id ? { page: 'record', bendId: Number(id) } : { page, address: hash }
  if (page === 'springback') return { page, setupId: id ? Number(id) : null }
  if (FRONT.includes(hash) || page === 'bend') return { page: 'bend' }
  return { page: 'nowhere', address: hash }
}
