// UUID version 7 (RFC 9562): 48 bits of time in milliseconds, then chance.

export function uuid7(now, randomBytes) {
  const bytes = randomBytes(16);
  let time = Math.floor(now);
  for (let place = 5; place >= 0; place -= 1) {
    bytes[place] = time % 256;
    time = Math.floor(time / 256);
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [
    hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20),
    hex.slice(20),
  ].join("-");
}

export const randomBytes = (count) => crypto.getRandomValues(new Uint8Array(count));

/** SHA-256 of an ArrayBuffer as hex. crypto.subtle needs a secure origin. */
export async function sha256(bytes) {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");
}
