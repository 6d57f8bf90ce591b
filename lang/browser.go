//go:build js

package lang

// For makes no printer: in a browser there are no folders of sentences. A page gives the
// text of a bundle ([ReadBundle]).
func For(string, Units) (*Printer, error) { return nil, errSpeechless }
