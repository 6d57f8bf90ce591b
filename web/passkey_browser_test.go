package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"raftwright/store"
)

// answerTo gives the browser's answer to a command.
func answerTo[P, R any](t *testing.T, ctx context.Context, c cdp.Command[P, R], params P) R {
	t.Helper()
	r, err := chromedp.Call(ctx, c, params)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// device adds an authenticator of the browser: one that knows its person, or does not.
func device(t *testing.T, ctx context.Context, knows bool) webauthn.AuthenticatorID {
	t.Helper()
	return answerTo(t, ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
		Protocol: "ctap2", Transport: "internal", HasResidentKey: true, HasUserVerification: true, AutomaticPresenceSimulation: true, IsUserVerified: knows}}).AuthenticatorID
}

// A person makes a passkey, signs in with it, asks for it always, and withdraws it; another comes in by an invitation with a passkey and
// never has a password. A device that does not verify its person, a copy whose counter does not rise, a withdrawn passkey, another origin and an
// answer that was used open nothing. The authenticator is Chromium's (Web Authentication, level 2, chapter 11).
func TestPasskeysInABrowser(t *testing.T) {
	ctx := ownBrowser(t)
	server, kept, _, _ := staffedHouse(t)
	at := strings.Replace(server.URL, "127.0.0.1", "localhost", 1)
	call(t, ctx, webauthn.Enable, webauthn.EnableParams{})
	telephone := device(t, ctx, true)
	in := func() bool { return ask[bool](t, ctx, `!!document.querySelector("form[action='/sign-out']")`) }
	out := func() {
		call(t, ctx, network.ClearBrowserCookies, cdp.Empty{})
		run(t, ctx, chromedp.Navigate(at+"/sign-in?to=/account"))
	}
	password := func(words string) {
		run(t, ctx, chromedp.Navigate(at+"/sign-in"), chromedp.SendKeys(chromedp.CSS(`#name`), "Invented grower"), chromedp.SendKeys(chromedp.CSS(`#password`), words+"\r"))
		until(t, ctx, `document.readyState === "complete" && (!document.getElementById("password") || document.querySelector("[role=alert]"))`)
	}
	press := func(form string) {
		until(t, ctx, `document.querySelector("`+form+`")?.hidden === false`)
		ask[bool](t, ctx, `(document.querySelector("[role=alert]")?.remove(), true)`) // what was told before
		run(t, ctx, chromedp.Click(chromedp.CSS(form+` button`)))
	}
	const signIn, make, join = "form[action='/sign-in/passkey']", "form[data-ask='/account/ask']", "form[data-ask^='/join/']"

	password("invented words")
	run(t, ctx, chromedp.Navigate(at+"/account"), chromedp.SendKeys(chromedp.CSS(`#device`), "My telephone"))
	press(make)
	until(t, ctx, `document.body.textContent.includes("My telephone")`)
	out()
	press(signIn)
	until(t, ctx, `location.pathname === "/account" && document.readyState === "complete"`)
	if !in() {
		t.Fatal("the passkey does not let in")
	}
	// a password alone is not enough any more, the right one and the wrong one; the passkey is
	run(t, ctx, chromedp.Click(chromedp.CSS(`button[value='strict']`)))
	until(t, ctx, `document.querySelector("button[value='loose']")`)
	out()
	password("invented words")
	if in() || !ask[bool](t, ctx, `document.body.textContent.includes("not enough for this account")`) {
		t.Error("a password alone lets in")
	}
	press(signIn)
	until(t, ctx, `document.querySelector("form[action='/sign-out']")`)

	// a device that does not verify its person
	out()
	call(t, ctx, webauthn.SetUserVerified, webauthn.SetUserVerifiedParams{AuthenticatorID: telephone})
	press(signIn)
	until(t, ctx, `document.querySelector("`+signIn+` [role=status]").textContent.length > 5`)
	call(t, ctx, webauthn.SetUserVerified, webauthn.SetUserVerifiedParams{AuthenticatorID: telephone, IsUserVerified: true})
	yes := true
	call(t, ctx, webauthn.SetResponseOverrideBits, webauthn.SetResponseOverrideBitsParams{AuthenticatorID: telephone, IsBadUV: &yes})
	press(signIn)
	until(t, ctx, `document.querySelector("[role=alert]")?.textContent.includes("does not hold")`)
	no := false
	call(t, ctx, webauthn.SetResponseOverrideBits, webauthn.SetResponseOverrideBitsParams{AuthenticatorID: telephone, IsBadUV: &no, IsBogusSignature: &yes})
	press(signIn)
	until(t, ctx, `document.querySelector("[role=alert]")?.textContent.includes("does not hold") && location.pathname === "/sign-in/passkey"`)
	call(t, ctx, webauthn.SetResponseOverrideBits, webauthn.SetResponseOverrideBitsParams{AuthenticatorID: telephone, IsBogusSignature: &no})
	if in() {
		t.Error("a forged answer lets in")
	}

	// a copy: the counter of the device goes back
	keys := answerTo(t, ctx, webauthn.GetCredentials, webauthn.GetCredentialsParams{AuthenticatorID: telephone}).Credentials
	if len(keys) != 1 || keys[0].RpID != "localhost" && keys[0].RpID != "" || len(keys[0].UserHandle) != 16 {
		t.Fatalf("%+v", keys)
	}
	call(t, ctx, webauthn.ClearCredentials, webauthn.ClearCredentialsParams{AuthenticatorID: telephone})
	put := func(counter int) { // the same key, with another counter
		call(t, ctx, cdp.Command[map[string]any, cdp.Empty]{Method: webauthn.CommandAddCredential}, map[string]any{"authenticatorId": telephone, "credential": map[string]any{
			"credentialId": keys[0].CredentialID, "isResidentCredential": true, "rpId": "localhost", "privateKey": keys[0].PrivateKey, "userHandle": keys[0].UserHandle, "signCount": counter}})
	}
	put(1)
	run(t, ctx, chromedp.Navigate(at+"/sign-in"))
	press(signIn)
	until(t, ctx, `document.querySelector("[role=alert]")?.textContent.includes("copy")`)
	call(t, ctx, webauthn.ClearCredentials, webauthn.ClearCredentialsParams{AuthenticatorID: telephone})
	put(1000)

	// an answer is taken once
	run(t, ctx, chromedp.Navigate(at+"/sign-in"))
	got := ask[[]string](t, ctx, `(async () => {
		const {token, ask} = await (await fetch("/sign-in/ask", {method: "POST"})).json();
		const key = await navigator.credentials.get({publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(ask)});
		return [token, JSON.stringify(key.toJSON())];
	})()`)
	bare := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	send := func(to string, form url.Values) int {
		resp, err := bare.PostForm(to+"/sign-in/passkey", form)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		return resp.StatusCode
	}
	if got := send(at, url.Values{"token": {"invented"}, "answer": {got[1]}}); got != http.StatusUnauthorized {
		t.Errorf("to what nobody asked: %d", got)
	}
	if got := send(at, url.Values{"token": {got[0]}, "answer": {got[1]}}); got != http.StatusSeeOther {
		t.Errorf("the answer: %d", got)
	}
	if got := send(at, url.Values{"token": {got[0]}, "answer": {got[1]}}); got != http.StatusUnauthorized {
		t.Errorf("the answer again: %d", got)
	}

	// withdrawn, it opens nothing, and the password does again
	press(signIn)
	until(t, ctx, `document.querySelector("form[action='/sign-out']")`)
	run(t, ctx, chromedp.Navigate(at+"/account"), chromedp.Click(chromedp.CSS(`button[value='drop']`)))
	until(t, ctx, `!document.querySelector("button[value='drop']")`)
	out()
	press(signIn)
	until(t, ctx, `document.querySelector("[role=alert]")?.textContent.includes("does not hold")`)
	password("invented words")
	if !in() {
		t.Error("with the last passkey withdrawn, the password does not let in")
	}
	out()

	// an invitation that is taken with a passkey
	id := store.NewID()
	if err := kept.AddAccount(t.Context(), store.Holder(), id, store.Grower, "Invented Newcomer", "", ""); err != nil {
		t.Fatal(err)
	}
	invitation, err := kept.GivePass(t.Context(), store.Holder(), store.NewID(), store.Invite, "", id, "")
	if err != nil {
		t.Fatal(err)
	}
	call(t, ctx, webauthn.ClearCredentials, webauthn.ClearCredentialsParams{AuthenticatorID: telephone})
	run(t, ctx, chromedp.Navigate(at+"/join/"+invitation))
	press(join)
	until(t, ctx, `document.querySelector("form[action='/sign-out']")`)
	run(t, ctx, chromedp.Navigate(at+"/account"))
	if !ask[bool](t, ctx, `document.body.textContent.includes("You have no password")`) {
		t.Error("who came in by a passkey has a password")
	}
	run(t, ctx, chromedp.Click(chromedp.CSS(`button[value='drop']`)))
	until(t, ctx, `document.body.textContent.includes("would be closed to you")`)
	out()
	press(signIn)
	until(t, ctx, `document.querySelector("form[action='/sign-out']")`)

	// the rules of the web hold on what is shown with passkeys
	axe := rulesOfTheWeb(t)
	for _, path := range []string{"/account", "/sign-in"} {
		for _, tag := range []string{"es", "en"} {
			for _, wide := range []int64{360, 1280} {
				obeys(t, ctx, at, axe, path, wide, map[bool]string{true: "dark", false: "light"}[wide == 360 && tag == "es"], tag)
				shown(t, ctx, fmt.Sprintf("passkey%s-%s-%d", strings.ReplaceAll(path, "/", "-"), tag, wide))
			}
		}
		call(t, ctx, network.ClearBrowserCookies, cdp.Empty{})
	}
}
