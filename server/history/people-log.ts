import type { Database } from 'better-sqlite3'
import type { NewPersonChange, Person, PersonChange } from '../messages/people.ts'
import { hasTable } from './has-table.ts'
import { makeHashedLog } from './hashed-log.ts'
import { type PersonRow, personRecord } from './person-record.ts'

/** Who there is after these changes, oldest first. */
export function peopleAfter(changes: readonly PersonChange[]): Person[] {
  const people = new Map<string, Person>()
  for (const { person, change, role } of changes) {
    const isActive = change === 'retired' ? false : (people.get(person)?.isActive ?? true)
    people.set(person, { name: person, role, isActive: change === 'returned' || isActive })
  }
  return [...people.values()]
}

/** Who there is by the log in a file that is only read. */
export function peopleIn(db: Database): Person[] {
  if (!hasTable(db, 'people_log')) return []
  const rows = db.prepare<[], PersonRow>('SELECT * FROM people_log ORDER BY id').all()
  return peopleAfter(rows.map(personRecord.entryOf))
}

/** The log of people enrolled. Who there is is only ever what the log says, so that no role is changed beside it. */
export function makePeopleLog(db: Database) {
  const append = makeHashedLog(db, 'people_log', ['person'])
  const all = db.prepare<[], PersonRow>('SELECT * FROM people_log ORDER BY id')
  const secretOf = db
    .prepare<[string], string>('SELECT secret FROM person_secret WHERE person = ?')
    .pluck()
  const keep = db.prepare(`
    INSERT INTO person_secret (person, secret) VALUES (?, ?)
    ON CONFLICT (person) DO UPDATE SET secret = excluded.secret`)
  /** There are few, and every request asks. */
  let known: Person[] | null = null
  const changes = (): PersonChange[] => all.all().map(personRecord.entryOf)

  const record = db.transaction((given: NewPersonChange, secret: string | null): PersonChange => {
    const textOf = (id: number) => personRecord.textOf({ id, ...given })
    const entry = personRecord.entryOf(append(textOf, { person: given.person }))
    if (secret !== null) keep.run(given.person, secret)
    return entry
  })

  return {
    addPersonChange(given: NewPersonChange, secret: string | null): PersonChange {
      personRecord.check(given)
      const entry = record.immediate(given, secret)
      known = null
      return entry
    },
    people(): Person[] {
      known ??= peopleAfter(changes())
      return known
    },
    personChanges: changes,
    secretOf: (person: string): string | null => secretOf.get(person) ?? null,
  }
}
