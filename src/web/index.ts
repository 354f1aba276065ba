export { webApp } from './app.tsx'
export { receiveMail } from './mail.ts'
