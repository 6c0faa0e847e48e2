# Run by CPack on the staged files: what Debian's policy asks of files (chapters 12.1, 12.5 and 12.7)
# and cmake --install does not do. Manual pages and the changelog are packed, without a time stamp, so
# that the same files give the same package; the licence is in /usr/share/common-licenses already.
set(share ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/usr/share)
file(REMOVE ${share}/doc/mastline/LICENSE)
file(GLOB packed ${share}/man/man1/*.1)
execute_process(COMMAND gzip -9n ${packed} ${share}/doc/mastline/changelog COMMAND_ERROR_IS_FATAL ANY)
