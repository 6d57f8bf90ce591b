package web

import (
	"net/http"
	"slices"
	"time"

	"raftwright/finding"
	"raftwright/lang"
)

// cookieTongue keeps the language that a person chose.
const cookieTongue = "language"

// tongue makes the printer of a request: the language that was chosen, else the first
// that the browser asks for and that we speak, else English.
func (v *visit) tongue() (*lang.Printer, error) {
	tags := lang.Languages()
	if c, err := v.Cookie(cookieTongue); err == nil && slices.Contains(tags, c.Value) {
		return lang.For(c.Value, lang.US)
	}
	if t := lang.Accepted(v.Request.Header.Get("Accept-Language")); t != "" {
		return lang.For(t, lang.US)
	}
	return lang.For("en", lang.US)
}

// tongueOf makes the printer of a language that an address names; where that is none of
// ours, the one of the request.
func (v *visit) tongueOf(tag string) (*lang.Printer, error) {
	if slices.Contains(lang.Languages(), tag) {
		return lang.For(tag, lang.US)
	}
	return v.tongue()
}

// chooseLanguage keeps the language that was asked for and goes back to the page.
func (v *visit) chooseLanguage() error {
	tag := v.PostFormValue("language")
	if slices.Contains(lang.Languages(), tag) {
		http.SetCookie(v.out, &http.Cookie{Name: cookieTongue, Value: tag, Path: "/", MaxAge: int(365 * 24 * time.Hour / time.Second), HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: v.secure(v.Request)})
	}
	return v.to(local(v.PostFormValue("from")))
}

// others lists the languages that a page is not in, each by its own name.
func (v *visit) others() []link {
	var out []link
	for _, t := range lang.Languages() {
		if t == v.words.Language {
			continue
		}
		if other, err := lang.For(t, v.words.Units); err == nil {
			out = append(out, link{Name: other.Say("web.language.self", nil), To: t})
		}
	}
	return out
}

// Say gives a sentence to a page: its ID, then names and what they stand for in turn.
func (v *visit) say(id string, pairs ...any) string {
	args := finding.Args{}
	for i := 0; i+1 < len(pairs); i += 2 {
		args[pairs[i].(string)] = pairs[i+1]
	}
	return v.words.Say(id, args)
}
