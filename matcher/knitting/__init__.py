"""What things take: fabric geometry, body sizes, shapes, motifs, needs and reserves."""
