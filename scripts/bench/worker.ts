export const benchWorker = async () => []
