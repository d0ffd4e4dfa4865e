/** What the audio thread offers that TypeScript's own library leaves out (W3C Web Audio API). */
declare const sampleRate: number;
declare const currentTime: number;
declare class AudioWorkletProcessor { readonly port: MessagePort; }
declare function registerProcessor(name: string, made: new () => AudioWorkletProcessor): void;
