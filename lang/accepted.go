//go:build !js

package lang

import "golang.org/x/text/language"

// Accepted gives the language that we speak which a reader's header Accept-Language asks for
// first; "" where it asks for none that we speak.
func Accepted(header string) string {
	asked, _, _ := language.ParseAcceptLanguage(header)
	if len(asked) == 0 {
		return ""
	}
	var known []language.Tag
	tags := Languages()
	for _, t := range tags {
		known = append(known, language.Make(t))
	}
	_, i, sure := language.NewMatcher(known).Match(asked...)
	if sure == language.No {
		return ""
	}
	return tags[i]
}
