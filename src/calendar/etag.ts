// Whether a calendar client has the newest feed already: from the revision alone, so that nothing
// needs to be rendered to find out.

import type { Household } from '../reminder/index.ts'

/** Raise it when the same household is written differently. */
const FORM = 1

/**
 * Weak (RFC 9110 §8.8.3): the network's edge may compress the feed, and a strong tag would promise
 * the same octets.
 */
export const feedEtag = (household: Pick<Household, 'revision'>): string =>
  `W/"${FORM}-${household.revision}"`

// RFC 9110 §8.8.3; the opaque part may hold a comma, and `W/` is case-sensitive.
const ENTITY_TAG = /(?:W\/)?"([\x21\x23-\x7e\x80-\xff]*)"/g

/**
 * Whether an If-None-Match field names the tag: weak comparison (RFC 9110 §13.1.2), `*` or a list.
 * A field that is neither matches nothing, so that the feed is sent.
 */
export function etagMatches(ifNoneMatch: string | null, etag: string): boolean {
  if (ifNoneMatch === null) return false
  if (ifNoneMatch.trim() === '*') return true
  if (/[^,\s]/.test(ifNoneMatch.replace(ENTITY_TAG, ''))) return false
  const opaque = etag.replace(/^W\//, '')
  return [...ifNoneMatch.matchAll(ENTITY_TAG)].some(([, tag]) => `"${tag}"` === opaque)
}
