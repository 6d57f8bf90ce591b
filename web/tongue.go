package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
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

// chooseLanguage keeps the language that was asked for and goes back to the page. From a form, without script, it gives the page with what was written there.
func (v *visit) chooseLanguage() error {
	if err := v.filled(); err != nil {
		return err
	}
	tag, from := v.PostFormValue("language"), v.PostFormValue("from")
	q := v.URL.Query()
	keeping := q.Has("to")
	if keeping {
		tag, from = q.Get("to"), q.Get("from")
	}
	if slices.Contains(lang.Languages(), tag) {
		c := &http.Cookie{Name: cookieTongue, Value: tag, Path: "/", MaxAge: int(365 * 24 * time.Hour / time.Second), HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: v.secure(v.Request)}
		http.SetCookie(v.out, c)
		if keeping {
			return v.rewritten(local(from), c)
		}
	}
	return v.to(local(from))
}

// rewritten gives a page in a language, its form filled with what was written in another. Where the page is none any more it leads there.
func (v *visit) rewritten(from string, tongue *http.Cookie) error {
	at, err := url.Parse(from)
	if err != nil {
		return v.to("/")
	}
	r := v.Request.Clone(v.context())
	r.Method, r.URL, r.RequestURI, r.Body, r.ContentLength = http.MethodGet, at, from, http.NoBody, 0
	r.Form, r.PostForm, r.MultipartForm = nil, nil, nil
	for _, name := range []string{"Content-Type", "Content-Length", "Cookie"} {
		r.Header.Del(name)
	}
	for _, c := range v.Cookies() {
		if c.Name != cookieTongue {
			r.AddCookie(c)
		}
	}
	r.AddCookie(tongue)
	page := noted{header: http.Header{}, status: http.StatusOK}
	v.all.ServeHTTP(&page, r)
	if page.status != http.StatusOK || !strings.HasPrefix(page.header.Get("Content-Type"), "text/html") {
		return v.to(from)
	}
	text, err := filledIn(page.body.String(), v.PostForm)
	if err != nil {
		return err
	}
	for _, name := range []string{"Content-Type", "Content-Language", "Cache-Control", "Raftwright-Who"} {
		v.out.Header().Set(name, page.header.Get(name))
	}
	_, err = v.out.Write([]byte(text))
	return err
}

// keeping is a language to which a form can be taken.
type keeping struct{ Name, Tag, To string }

// Keeping lists the languages to which a form can be taken without script, with what is written in it.
func (s sheet) Keeping() (out []keeping) {
	for _, l := range s.visit.others() {
		other, err := lang.For(l.To, s.visit.words.Units)
		if err == nil {
			out = append(out, keeping{other.Say("web.language.keeping", nil), l.To, "/language?" + url.Values{"to": {l.To}, "from": {s.From()}}.Encode()})
		}
	}
	return out
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
