/*
 * config.h - selects the parts of the player that are built. This file is for tests, which select them on the command line of the
 * compiler. `pageloom build` writes its own configuration, pageloom_config.h, for the shows of a firmware.
 */
#if !defined PAGELOOM_DENSE && !defined PAGELOOM_AREAS_ALONE
#define PAGELOOM_WINDOWS
#endif
