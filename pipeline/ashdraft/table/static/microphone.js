// The microphone as blocks of 16-bit sound. `gone` is called when the phone takes it away.
const RATE = 24000; // twice the highest frequency of speech that matters, half the space

export class Microphone {
  constructor(block, gone) {
    this.block = block;
    this.gone = gone;
  }

  async open() {
    this.stream = await navigator.mediaDevices.getUserMedia({
      audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false },
    });
    const [track] = this.stream.getAudioTracks();
    track.onended = () => this.gone();
    this.context = await this.connected(RATE).catch(() => this.connected());
    this.context.onstatechange = () => {
      if (this.context?.state === "interrupted") this.gone();
    };
    await this.context.resume();
  }

  /** A context at `rate`, or at the microphone's own where a browser cannot convert. */
  async connected(rate) {
    const context = new AudioContext(rate ? { sampleRate: rate } : {});
    try {
      await context.audioWorklet.addModule("/static/table/capture.js");
      const node = new AudioWorkletNode(context, "capture", { numberOfOutputs: 0, channelCount: 1, channelCountMode: "explicit" });
      node.port.onmessage = ({ data }) => this.block(data.samples, data.peak, context.sampleRate, data.at);
      context.createMediaStreamSource(this.stream).connect(node);
    } catch (fault) {
      await context.close();
      throw fault;
    }
    return context;
  }

  close() {
    for (const track of this.stream?.getTracks() ?? []) {
      track.onended = null;
      track.stop();
    }
    const context = this.context;
    this.context = this.stream = null;
    context?.close();
  }
}
