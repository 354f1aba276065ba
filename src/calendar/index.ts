export { etagMatches, feedEtag } from './etag.ts'
export { renderFeed, renderPlanFile } from './feed.ts'
