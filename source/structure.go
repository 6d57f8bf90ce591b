package source

func structure() []Entry {
	return []Entry{}
}
