package source

func mixing() []Entry {
	return []Entry{}
}
