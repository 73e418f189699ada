// When the phone or the key refuses, say it on the page. allauth's own scripts ask for the key.
(() => {
  "use strict";
  document.addEventListener("allauth.error", (event) => {
    event.preventDefault();
    const said = document.getElementById("said");
    const { name } = event.detail.exception;
    said.textContent =
      name === "InvalidStateError"
        ? "This key is here already."
        : name === "SecurityError"
          ? "Passkeys do not work at this address. Open Teamops by its name, not by numbers."
          : "No passkey came. Try again, or use your password.";
  });
})();
