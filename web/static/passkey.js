// Passkeys: a form with data-ask asks the server what to ask of the device, asks it, and sends the
// answer as the form. Where a browser knows no passkeys the form stays hidden.
const knows = window.PublicKeyCredential?.parseRequestOptionsFromJSON && window.isSecureContext;
for (const form of knows ? document.querySelectorAll("form[data-ask]") : []) {
  form.hidden = false;
  const told = form.querySelector("[role=status]"), button = form.querySelector("button");
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    told.textContent = "";
    button.disabled = true;
    try {
      const r = await fetch(form.dataset.ask, { method: "POST", headers: { Accept: "text/html" } });
      if (!r.ok) { // the page that says why
        const page = new DOMParser().parseFromString(await r.text(), "text/html");
        told.textContent = page.querySelector("main")?.textContent.trim() || form.dataset.failed;
        return;
      }
      const { token, ask } = await r.json();
      const making = form.dataset.makes !== undefined;
      const key = making
        ? await navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(ask) })
        : await navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(ask) });
      form.elements.token.value = token;
      form.elements.answer.value = JSON.stringify(key.toJSON());
      form.submit();
    } catch (err) { // the person said no, or the device has none
      told.textContent = form.dataset.failed;
    } finally {
      button.disabled = false;
    }
  });
}
