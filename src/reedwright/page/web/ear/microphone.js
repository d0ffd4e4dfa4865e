// @ts-check
/**
 * The student's microphone, asked for only on a press, with everything switched off that changes the
 * sound on its way (echo cancellation, noise suppression, gain control: W3C Media Capture). It goes
 * into the worklet and nowhere else: not to the loudspeaker, not out of the page.
 */

/** @typedef {import("./ear.d.ts").Reading} Reading */

const WAKE_MS = 1500; // a context that will wake does so at once; from memory

/** @param {string} name @param {string} message */
function failure(name, message) {
  const error = new Error(message);
  error.name = name;
  return error;
}

/** Events: `readings` {readings, sent_s}, `samples` {start_s, samples}, `lost`. */
export class Microphone extends EventTarget {
  /** @param {AudioContext} context @param {string} worklet_url */
  constructor(context, worklet_url) {
    super();
    this.context = context;
    this.worklet_url = worklet_url;
    /** @type {MediaStream | null} */ this.stream = null;
    /** @type {AudioWorkletNode | null} */ this.node = null;
    /** @type {AudioNode | null} */ this.source = null;
  }

  get open() { return this.stream !== null; }

  /** @param {number} low_hz the lowest pitch worth looking for */
  async start(low_hz) {
    if (this.open) return;
    if (!navigator.mediaDevices?.getUserMedia) throw failure("NoMicrophoneHere", "no mediaDevices");
    if (!this.context.audioWorklet) throw failure("NoWorklet", "no audioWorklet");
    const stream = await navigator.mediaDevices.getUserMedia({
      audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 }, video: false,
    });
    try {
      await this.listen(stream, low_hz);
    } catch (error) {
      stream.getTracks().forEach((track) => track.stop());
      throw error;
    }
    this.stream = stream;
    stream.getAudioTracks().forEach((track) => track.addEventListener("ended", () => { this.stop(); this.dispatchEvent(new Event("lost")); }));
  }

  /** @param {MediaStream} stream @param {number} low_hz */
  async listen(stream, low_hz) {
    await Promise.race([this.context.resume(), new Promise((done) => setTimeout(done, WAKE_MS))]);
    if (this.context.state !== "running") throw failure("Asleep", this.context.state);
    await this.context.audioWorklet.addModule(this.worklet_url);
    const node = new AudioWorkletNode(this.context, "reedwright-ear", { numberOfInputs: 1, numberOfOutputs: 1, channelCount: 1, channelCountMode: "explicit" });
    const source = this.context.createMediaStreamSource(stream), silent = this.context.createGain();
    silent.gain.value = 0; // the node must lead somewhere to be run, and nobody may hear it
    source.connect(node).connect(silent).connect(this.context.destination);
    node.port.onmessage = (event) => this.dispatchEvent(new CustomEvent(event.data.kind, { detail: event.data }));
    node.port.postMessage({ low_hz });
    this.node = node;
    this.source = source;
  }

  stop() {
    this.stream?.getTracks().forEach((track) => track.stop());
    this.source?.disconnect();
    this.node?.disconnect();
    this.stream = null; this.node = null; this.source = null;
  }
}
