// Passkeys: asks the browser to make or to use one (WebAuthn, level 2) and sends what it answers. Without this script
// the forms it serves stay hidden, or say what to do instead.
(() => {
  "use strict";
  const toBytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
  const toText = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes)))
    .replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  const listed = (those) => (those || []).map((one) => ({ ...one, id: toBytes(one.id) }));

  function forCreate(options, alone) {
    const chosen = { ...options.authenticatorSelection };
    if (alone) Object.assign(chosen, { residentKey: "required", requireResidentKey: true, userVerification: "required" });
    return {
      ...options, challenge: toBytes(options.challenge), user: { ...options.user, id: toBytes(options.user.id) },
      excludeCredentials: listed(options.excludeCredentials), authenticatorSelection: chosen,
    };
  }

  const forGet = (options) => ({
    ...options, challenge: toBytes(options.challenge), allowCredentials: listed(options.allowCredentials),
  });

  function told(made) {
    const response = { clientDataJSON: toText(made.response.clientDataJSON) };
    for (const part of ["attestationObject", "authenticatorData", "signature", "userHandle"]) {
      if (made.response[part]) response[part] = toText(made.response[part]);
    }
    if (made.response.getTransports) response.transports = made.response.getTransports();
    return {
      id: made.id, rawId: toText(made.rawId), type: made.type, response,
      authenticatorAttachment: made.authenticatorAttachment, clientExtensionResults: made.getClientExtensionResults(),
    };
  }

  async function options(form) {
    if (form.dataset.options) return JSON.parse(form.dataset.options);
    const answer = await fetch(form.dataset.optionsFrom, { headers: { Accept: "application/json" } });
    if (!answer.ok) throw new Error("no options");
    return (await answer.json()).request_options;
  }

  async function go(form) {
    const { publicKey } = await options(form);
    const alone = form.elements.passwordless ? form.elements.passwordless.checked : false;
    const made = form.dataset.passkey === "create"
      ? await navigator.credentials.create({ publicKey: forCreate(publicKey, alone) })
      : await navigator.credentials.get({ publicKey: forGet(publicKey) });
    form.elements.credential.value = JSON.stringify(told(made));
    form.submit();
  }

  if (!window.PublicKeyCredential) return;
  for (const form of document.querySelectorAll("form[data-passkey]")) {
    form.hidden = false;
    const wrong = form.querySelector("[data-passkey-wrong]");
    form.querySelector("[data-passkey-go]").addEventListener("click", () => {
      if (wrong) wrong.hidden = true;
      go(form).catch(() => { if (wrong) wrong.hidden = false; });
    });
  }
})();
