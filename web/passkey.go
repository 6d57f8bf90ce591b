package web

import (
	"encoding/base64"
	"encoding/json"
	"net"
	"net/url"
	"strings"
	"time"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/google/uuid"

	"raftwright/finding"
	"raftwright/store"
)

// Faults of passkeys.
const (
	FaultPasskey   finding.ID = "web.fault.passkey"    // what a device answered does not hold
	FaultNoPasskey finding.ID = "web.fault.no_passkey" // an address at which no browser uses passkeys
	FaultCopied    finding.ID = "web.fault.copied"     // its counter says that there are two of it
)

// freshFor is how long after signing in one may change how one signs in (our own choice; ASVS 4.0.3, 3.7.1, asks to
// verify anew before sensitive changes).
const freshFor = 15 * time.Minute

// checker checks passkeys for the address at which the office is reached: a passkey is bound
// to its name, and what was signed at another address does not hold. A device must verify its person
// (by finger, face or code), so that a passkey is two factors by itself.
func (v *visit) checker() (*webauthn.WebAuthn, error) {
	at, err := url.Parse(v.origin())
	if err != nil || !usesPasskeys(at) {
		return nil, finding.Fault{ID: FaultNoPasskey}
	}
	within := webauthn.TimeoutConfig{Enforce: false, Timeout: 5 * time.Minute} // the store bounds it, by its clock
	return webauthn.New(&webauthn.Config{RPID: at.Hostname(), RPDisplayName: "Raftwright", RPOrigins: []string{v.origin()},
		AttestationPreference:  protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{ResidentKey: protocol.ResidentKeyRequirementRequired, UserVerification: protocol.VerificationRequired},
		Timeouts:               webauthn.TimeoutsConfig{Login: within, Registration: within}})
}

// usesPasskeys tells whether browsers use passkeys at an address: one with a name, over TLS or
// of this computer itself (Web Authentication, level 2, 5.1.2 and 13.4.9).
func usesPasskeys(at *url.URL) bool {
	name := at.Hostname()
	return net.ParseIP(name) == nil && (at.Scheme == "https" && strings.Contains(name, ".") || name == "localhost")
}

// holder is the person of an account as the library wants to know them.
type holder struct {
	account, name string
	keys          []webauthn.Credential
}

// WebAuthnID is what a device keeps with its passkey: the id of the account, no name.
func (p holder) WebAuthnID() []byte                         { return userID(p.account) }
func (p holder) WebAuthnName() string                       { return p.name }
func (p holder) WebAuthnDisplayName() string                { return p.name }
func (p holder) WebAuthnCredentials() []webauthn.Credential { return p.keys }

func userID(account string) []byte {
	id, err := uuid.Parse(account)
	if err != nil {
		return nil
	}
	return id[:]
}

func keyID(id []byte) string { return base64.RawURLEncoding.EncodeToString(id) }

// holderOf gives a person with their passkeys for the name of this office.
func (v *visit) holderOf(account, name string, keys []store.Passkey) (holder, error) {
	p := holder{account: account, name: name}
	for _, k := range keys {
		var c webauthn.Credential
		if err := json.Unmarshal([]byte(k.Credential), &c); err != nil {
			return p, err
		}
		p.keys = append(p.keys, c)
	}
	return p, nil
}

// asking answers the script of a page: what a device is asked, and the token under which it answers.
func (v *visit) asking(account string, options any, session *webauthn.SessionData) error {
	kept, err := json.Marshal(session)
	if err != nil {
		return err
	}
	token, err := v.Store.Ask(v.context(), account, string(kept))
	if err != nil {
		return err
	}
	return v.asJSON(struct {
		Token string `json:"token"`
		Ask   any    `json:"ask"`
	}{token, options})
}

// askSignIn asks any device for a passkey of this office.
func (v *visit) askSignIn() error {
	if err := v.Store.Attempt(v.context(), "ask:"+v.address(v.Request), mostTriesFrom, triesIn); err != nil {
		return err
	}
	check, err := v.checker()
	if err != nil {
		return err
	}
	options, session, err := check.BeginDiscoverableLogin(webauthn.WithUserVerification(protocol.VerificationRequired))
	if err != nil {
		return err
	}
	return v.asking("", options.Response, session)
}

// signedInByPasskey lets in who holds a passkey.
func (v *visit) signedInByPasskey() error {
	if err := v.filled(); err != nil {
		return err
	}
	from := "passkey:" + v.address(v.Request) // not the count of passwords: who mistypes those keeps no passkey out
	if err := v.Store.Attempt(v.context(), from, mostTriesFrom, triesIn); err != nil {
		return v.retell(v.showSignIn, err)
	}
	token, err := v.byPasskey()
	if err != nil {
		return v.retell(v.showSignIn, err)
	}
	for _, what := range []string{from, "ask:" + v.address(v.Request)} {
		if err := v.Store.TakeBack(v.context(), what); err != nil {
			return err
		}
	}
	return v.entered(token, v.PostFormValue("to"))
}

// byPasskey checks what a device answered, and begins a session.
func (v *visit) byPasskey() (token string, err error) {
	check, err := v.checker()
	if err != nil {
		return "", err
	}
	account, session, err := v.wasAsked()
	if err != nil {
		return "", err
	}
	answer, err := protocol.ParseCredentialRequestResponseBytes([]byte(v.PostFormValue("answer")))
	if err != nil || account != "" {
		return "", finding.Fault{ID: FaultPasskey}
	}
	var used store.Passkey
	find := func(id, user []byte) (webauthn.User, error) {
		var err error
		if used, err = v.Store.Passkey(v.context(), keyID(id)); err != nil {
			return nil, err
		}
		return v.holderOf(used.Account, "", []store.Passkey{used})
	}
	_, now, err := check.ValidatePasskeyLogin(find, session, answer)
	if err != nil {
		return "", finding.Fault{ID: FaultPasskey}
	}
	if now.Authenticator.CloneWarning {
		if v.Log != nil {
			v.Log.Warn("passkey", "fault", FaultCopied, "account", used.Account)
		}
		return "", finding.Fault{ID: FaultCopied}
	}
	becomes, err := json.Marshal(now)
	if err != nil {
		return "", err
	}
	return v.Store.UsePasskey(v.context(), used, string(becomes))
}

// wasAsked takes what was asked of the device that answers.
func (v *visit) wasAsked() (account string, session webauthn.SessionData, err error) {
	account, kept, err := v.Store.Asked(v.context(), v.PostFormValue("token"))
	if store.Is(err, store.FaultSignIn) {
		err = finding.Fault{ID: FaultPasskey}
	}
	if err == nil {
		err = json.Unmarshal([]byte(kept), &session)
	}
	return account, session, err
}

// askAccount asks the device of who is signed in to make a passkey.
func (v *visit) askAccount() error {
	if err := v.justIn(); err != nil {
		return err
	}
	p, err := v.Store.Person(v.context(), v.who, v.who.Account())
	if err != nil {
		return err
	}
	m, err := v.Store.Means(v.context(), v.who)
	if err != nil {
		return err
	}
	return v.askMake(p.Account, p.Name, m.Passkeys)
}

// askJoin asks the device of who was invited to make a passkey.
func (v *visit) askJoin() error {
	if err := v.Store.Attempt(v.context(), "join:"+v.address(v.Request), mostTriesFrom, triesIn); err != nil {
		return err
	}
	account, name, err := v.Store.Invited(v.context(), v.PathValue("invitation"))
	if err != nil {
		return err
	}
	return v.askMake(account, name, nil)
}

func (v *visit) askMake(account, name string, there []store.Passkey) error {
	check, err := v.checker()
	if err != nil {
		return err
	}
	p, err := v.holderOf(account, name, there)
	if err != nil {
		return err
	}
	options, session, err := check.BeginRegistration(p, webauthn.WithExclusions(webauthn.Credentials(p.keys).CredentialDescriptors()))
	if err != nil {
		return err
	}
	return v.asking(account, options.Response, session)
}

// madePasskey checks the passkey that a device made for an account.
func (v *visit) madePasskey(account string) (store.Passkey, error) {
	wrong := finding.Fault{ID: FaultPasskey}
	check, err := v.checker()
	if err != nil {
		return store.Passkey{}, err
	}
	of, session, err := v.wasAsked()
	if err != nil {
		return store.Passkey{}, err
	}
	answer, err := protocol.ParseCredentialCreationResponseBytes([]byte(v.PostFormValue("answer")))
	if err != nil || of != account || of == "" {
		return store.Passkey{}, wrong
	}
	made, err := check.CreateCredential(holder{account: account}, session, answer)
	if err != nil {
		return store.Passkey{}, wrong
	}
	kept, err := json.Marshal(made)
	return store.Passkey{ID: keyID(made.ID), Account: account, Label: strings.TrimSpace(v.PostFormValue("label")), Host: check.Config.RPID, Credential: string(kept)}, err
}

// justIn refuses a session that began too long ago to change how one signs in.
func (v *visit) justIn() error {
	if v.who.Account() == "" {
		return v.notYours("store.word.account", "")
	}
	return v.Store.Fresh(v.context(), v.cookie(v.Request, cookieSession), freshFor)
}

// changeMeans changes how one signs in: a passkey more or less, and whether a password alone is enough.
func (v *visit) changeMeans(do string) error {
	if err := v.justIn(); err != nil {
		return err
	}
	switch do {
	case "passkey":
		p, err := v.madePasskey(v.who.Account())
		if err != nil {
			return err
		}
		return v.Store.AddPasskey(v.context(), v.who, p)
	case "drop":
		return v.Store.DropPasskey(v.context(), v.who, v.PostFormValue("passkey"))
	}
	return v.Store.SetStrict(v.context(), v.who, do == "strict")
}

// heldKey is a passkey on a page.
type heldKey struct{ ID, Label, Made, Used, Elsewhere string }

// means is what the page of an account shows of how one signs in.
type means struct {
	store.Means
	Keys []heldKey
	Can  bool // whether passkeys are used at this address
}

func (v *visit) means() (means, error) {
	m, err := v.Store.Means(v.context(), v.who)
	if err != nil {
		return means{}, err
	}
	out := means{Means: m, Can: v.passkeysHere()}
	for _, k := range m.Passkeys {
		h := heldKey{ID: k.ID, Label: k.Label, Made: v.words.Date(k.Made.Local())}
		if h.Label == "" {
			h.Label = v.say("web.passkey.nameless")
		}
		if !k.Used.IsZero() {
			h.Used = v.words.Date(k.Used.Local())
		}
		if at, err := url.Parse(v.origin()); err == nil && k.Host != at.Hostname() {
			h.Elsewhere = k.Host
		}
		out.Keys = append(out.Keys, h)
	}
	return out, nil
}

// passkeyRoutes are the addresses that passkeys need beside those of signing in and the account.
func passkeyRoutes() []route {
	return []route{
		{"POST /sign-in/ask", (*visit).askSignIn},
		{"POST /sign-in/passkey", (*visit).signedInByPasskey},
		{"POST /account/ask", (*visit).askAccount},
		{"POST /join/{invitation}/ask", (*visit).askJoin},
	}
}

// passkeysHere tells whether passkeys are used at this address.
func (v *visit) passkeysHere() bool {
	at, err := url.Parse(v.origin())
	return err == nil && usesPasskeys(at)
}
