package source

func rafts() []Entry {
	return []Entry{}
}
