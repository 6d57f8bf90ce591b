-- name: AddPhoto :exec
-- AddPhoto adds a photo.
INSERT INTO photo (id, bed, entry, kind, hash, who, recorded) VALUES ($1, $2, $3, $4, $5, $6, $7);

-- name: Photo :one
-- Photo finds a photo.
SELECT * FROM photo WHERE id = $1;

-- name: Photos :many
-- Photos lists the photos of a bed, the oldest first.
SELECT * FROM photo WHERE bed = $1 ORDER BY recorded, id;

-- name: CountPhotos :one
-- CountPhotos counts the photos of a bed.
SELECT COUNT(*) FROM photo WHERE bed = $1;

-- name: RemovePhoto :exec
-- RemovePhoto takes a photo away.
DELETE FROM photo WHERE id = $1;

-- name: EmptyPhotos :exec
-- EmptyPhotos empties a table that is made from the happenings.
DELETE FROM photo;

-- name: AddImage :exec
-- AddImage keeps the bytes of a photo.
INSERT INTO image (hash, bytes) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING;

-- name: Image :one
-- Image gives the bytes of a photo.
SELECT bytes FROM image WHERE hash = $1;

-- name: ImageHashes :many
-- ImageHashes lists all images.
SELECT hash FROM image ORDER BY hash;

-- name: DropImages :exec
-- DropImages takes away the bytes that no photo has any longer.
DELETE FROM image WHERE image.hash = $1 AND NOT EXISTS (SELECT 1 FROM photo WHERE photo.hash = image.hash);

-- name: PhotoHashes :many
-- PhotoHashes lists the images that photos have.
SELECT DISTINCT hash FROM photo ORDER BY hash;
