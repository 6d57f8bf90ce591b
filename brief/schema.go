package brief

type member struct {
	key   string
	value any
}

// object is a JSON object whose members keep their order.
type object []member

const number = `^[ ]*[-+]?[0-9.½¼¾⅛⅜⅝⅞⅓⅔]`

func quantitySchema() object      { return object{} }
func numberSchema(s *spec) object { return object{} }
func anys(words []string) []any {
	out := make([]any, 0, len(words)+1)
	for _, w := range words {
		out = append(out, w)
	}
	return out
}
