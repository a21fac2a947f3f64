// The worker's script, second half: the build puts wasm-bindgen's own half before it, which defines `wasm_bindgen`.
// What is asked before the module is there waits; what goes wrong is told, so that nobody waits for an answer in vain.

(() => {
  const waiting = [];
  let started = false;
  const post = (parts, buffers) => self.postMessage(parts, buffers);
  const fail = (fault) => self.postMessage({ fault: String(self.quarterlightPanic ?? fault?.message ?? fault) });

  const perform = (parts) => {
    try {
      self.quarterlightPerform(parts, post);
    } catch (fault) {
      fail(fault);
    }
  };

  self.onmessage = ({ data }) => (started ? perform(data) : waiting.push(data));

  wasm_bindgen({ module_or_path: new URL("labour_bg.wasm", self.location.href) }).then(() => {
    started = true;
    self.postMessage("ready");
    for (const parts of waiting.splice(0)) perform(parts);
  }, fail);
})();
