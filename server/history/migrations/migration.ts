/** One step of the schema; never edited once it has been released. */
export interface Migration {
  /** 1, 2, 3… without gaps; kept in the file as `user_version`. */
  readonly version: number
  readonly sql: string
}
