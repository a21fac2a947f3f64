// The scheme chosen on this device, before the first paint: in a cellar, one white page costs the eyes their night sight.
try {
  const scheme = localStorage.getItem("quarterlight.look");
  if (scheme) document.documentElement.dataset.scheme = scheme;
} catch {
  // A browser that keeps nothing shows the device's own scheme.
}
