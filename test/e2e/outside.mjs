// What tests use that is not part of the project, and where it is: said by the environment. What is not said is not there, and its tests are left out.

/** The program that runs a script in an emulated machine with ALSA, by BARKLINE_ALSA_GUEST; empty where none is named. */
export const alsaGuest = process.env.BARKLINE_ALSA_GUEST ?? '';

/** The schema of MusicXML by the W3C, by BARKLINE_MUSICXML_SCHEMA; empty where none is named. */
export const musicXmlSchema = process.env.BARKLINE_MUSICXML_SCHEMA ?? '';
