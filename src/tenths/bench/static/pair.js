// The code of a pairing stands behind the # of the address that was scanned; it is put into the field, never sent along.
// @ts-check

const field = document.getElementById("code");
if (field instanceof HTMLInputElement && location.hash.length > 1) field.value = decodeURIComponent(location.hash.slice(1));

export {};
