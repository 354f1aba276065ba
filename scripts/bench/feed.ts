export const benchFeed = async () => []
