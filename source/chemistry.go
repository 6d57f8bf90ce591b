package source

func chemistry() []Entry {
	return []Entry{}
}
