// Package rows is the SQL of the store as functions. Everything beside this comment is
// made by sqlc from store/schema and store/query; store/store.go says how.
package rows
