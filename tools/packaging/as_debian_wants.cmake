# Run by CPack on the staged files: what Debian's policy asks of files (chapters 12.1, 12.5 and 12.7)
# and cmake --install does not do. Manual pages and changelogs are packed, without a time stamp, so that
# the same files give the same package; the licence is in /usr/share/common-licenses already.
file(GLOB_RECURSE licences ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/LICENSE)
file(GLOB_RECURSE packed ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/mastline-*.1 ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/changelog)
file(REMOVE ${licences})
execute_process(COMMAND gzip -9n ${packed} COMMAND_ERROR_IS_FATAL ANY)
