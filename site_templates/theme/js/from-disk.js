/* Search in a site that is opened from a folder on disk. Browsers start no worker from file:, so
   there the search script runs in a hidden frame that takes and gives messages as a worker does.
   On a web server this file does nothing. */
(function () {
  "use strict";
  if (location.protocol !== "file:") return;

  class FrameWorker extends EventTarget {
    constructor(url) {
      super();
      this.waiting = [];
      const frame = document.createElement("iframe");
      frame.hidden = true;
      frame.title = "search";
      document.body.append(frame);
      this.inside = frame.contentWindow;
      /* Opened first: some browsers put a fresh document into a new frame later on. */
      this.inside.document.open();
      this.inside.document.write("<!doctype html><title>search</title>");
      this.inside.document.close();
      this.inside.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data }));
      this.inside.importScripts = (...urls) =>
        urls.reduce((done, each) => done.then(() => this.load(each)), Promise.resolve());
      this.load(url).then(() => this.begin());
    }

    load(url) {
      return new Promise((done, fail) => {
        const script = this.inside.document.createElement("script");
        script.src = url;
        script.onload = done;
        script.onerror = fail;
        this.inside.document.head.append(script);
      });
    }

    begin() {
      const waiting = this.waiting;
      this.waiting = null;
      waiting.forEach((data) => this.postMessage(data));
    }

    postMessage(data) {
      if (this.waiting) this.waiting.push(data);
      else this.inside.dispatchEvent(new MessageEvent("message", { data }));
    }

    terminate() {
      this.inside.frameElement.remove();
    }
  }

  window.Worker = FrameWorker;
  /* The theme's search asks for this name to find the folder of its languages. */
  window.IFrameWorker = FrameWorker;
})();
