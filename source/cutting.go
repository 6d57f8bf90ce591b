package source

func cutting() []Entry {
	return []Entry{}
}
