// Package photo reads a bow's stations off a photograph: coded square marks on the board behind the bow give
// the camera's place and lens, round stickers on the limbs' sides give the places. It takes bytes and gives
// lengths; it knows no files and no clock.
//
// Board coordinates are inches in the board's plane: x along it, towards the upper limb, y the way that the
// string is drawn, z away from the camera. Image coordinates are pixels of the upright picture.
package photo
