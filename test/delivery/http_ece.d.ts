// The part of http_ece that the tests use; it brings no types.

declare module 'http_ece' {
  import type { ECDH } from 'node:crypto'

  const ece: {
    decrypt(
      body: Buffer,
      how: {
        version: 'aes128gcm'
        privateKey?: ECDH
        authSecret?: string
        key?: string
      },
    ): Buffer
  }
  export default ece
}
