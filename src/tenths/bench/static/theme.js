// Bright, dark or as the device says: set before anything is drawn, so that nothing flashes.
// @ts-check
(() => {
  try {
    const light = localStorage.getItem("tenths-light");
    if (light === "bright" || light === "dark") document.documentElement.dataset.theme = light;
  } catch { /* storage may be shut; then the device's own light holds */ }
})();
