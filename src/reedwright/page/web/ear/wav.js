// @ts-check
/**
 * A recording as a WAV file, 16 bit, one channel, with what it takes to mark it later in an INFO list
 * (RIFF, Microsoft & IBM 1991; from memory): INAM the title, ICMT a JSON text of tempo and start.
 */

/** @param {Float32Array} samples @param {number} rate_hz @param {{title: string, comment: object}} about */
export function wavOf(samples, rate_hz, about) {
  const list = infoList([["INAM", about.title], ["ICMT", JSON.stringify(about.comment)], ["ISFT", "Reedwright"]]);
  const sound = new Uint8Array(samples.length * 2), view = new DataView(sound.buffer);
  samples.forEach((value, i) => view.setInt16(2 * i, Math.round(32767 * Math.max(-1, Math.min(1, value || 0))), true));
  const format = new DataView(new ArrayBuffer(16));
  [[0, 1], [2, 1], [12, 2], [14, 16]].forEach(([at, value]) => format.setUint16(at, value, true));
  format.setUint32(4, rate_hz, true);
  format.setUint32(8, 2 * rate_hz, true);
  return chunk("RIFF", joined([letters("WAVE"), chunk("fmt ", new Uint8Array(format.buffer)), chunk("LIST", list), chunk("data", sound)]));
}

/** @param {[string, string][]} entries */
function infoList(entries) {
  return joined([letters("INFO"), ...entries.map(([id, text]) => chunk(id, new TextEncoder().encode(`${text}\0`)))]);
}

/** Padded to an even length, as RIFF asks. @param {string} id @param {Uint8Array} body */
function chunk(id, body) {
  const size = new DataView(new ArrayBuffer(4));
  size.setUint32(0, body.length, true);
  return joined([letters(id), new Uint8Array(size.buffer), body, new Uint8Array(body.length % 2)]);
}

/** @param {string} text */
const letters = (text) => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

/** @param {Uint8Array[]} parts */
function joined(parts) {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) { whole.set(part, at); at += part.length; }
  return whole;
}

/** A file name any system takes. @param {string} title @param {number} tempo_bpm */
export function fileName(title, tempo_bpm) {
  const plain = title.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "").toLowerCase().slice(0, 60);
  return `${plain || "recording"}-${tempo_bpm}-bpm.wav`;
}
